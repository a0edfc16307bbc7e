"""Synthetic voices for measuring the walkthrough, whose words no person has been recorded saying. Development and
test voices are of different synthesisers, and the model was trained on none of the test voices.

    python tests/walk/synthetic_speech.py test 400 --seed 7 --to FOLDER

writes clips and lines.tsv (file, voice, kind, at, text, graded). `dev 750 --rooms --styles VOICES` makes what to
choose on: 23 speakers, each in a room of its own, noise 14 to 40 dB below; VOICES is the folder voices/ of the npm
package kokoro-js. Both need the commands flite and text2wave (Debian: flite, festival, festvox-kdlpc16k), "dev" also
what models/training/synth_voices.py names.
"""

from __future__ import annotations

import argparse
import csv
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import soundfile as sf
import soxr

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(TOP), str(TOP / "models" / "training"), str(TOP / "tests" / "walk")]

from finding_sentences import lines  # noqa: E402

RATE = 16_000
ROOM_NOISE = 10 ** (-62 / 20)
"""Root mean square of the faint noise laid under everything: no room is digitally silent."""
Speak = Callable[[str], Any]


def spelled(text: str) -> str:
    """Single letters as capitals, so that they are read as letters."""
    return " ".join(word.upper() if len(word) == 1 else word for word in text.split())


def command(shift: float, *words: str, text_in: bool = False) -> Speak:
    """A synthesiser that is a command: `{text}` and `{out}` are put in; `shift` moves pitch and formants together."""

    def speak(text: str) -> Any:
        with tempfile.TemporaryDirectory() as folder:
            out = f"{folder}/said.wav"
            said = spelled(text) + "."
            subprocess.run([word.format(text=said, out=out) for word in words], input=said if text_in else "",
                           text=True, check=True, capture_output=True)  # fmt: skip
            sound, rate = sf.read(out)
        return soxr.resample(sound, rate * shift, RATE)

    return speak


def flite(voice: str, shift: float = 1.0, stretch: float = 1.0) -> Speak:
    return command(shift, "flite", "-voice", voice, "--setf", f"duration_stretch={stretch * shift}", "-t", "{text}",
                   "-o", "{out}")  # fmt: skip


def festival(voice: str, shift: float = 1.0) -> Speak:
    return command(shift, "text2wave", "-eval", f"(voice_{voice})", "-o", "{out}", text_in=True)


def trained(seed: str, styles: Path | None = None) -> dict[str, Speak]:
    """Speakers of the synthesisers that the model was trained with, other mixtures of them; more with `styles`."""
    import synth
    import synth_voices

    sounds = synth.stressed_pronunciations(synth.read_words(synth.VOCABULARY))

    def speaking(speaker: Any, rng: Random) -> Speak:
        return lambda text: speaker.speak(synth.with_phones(text, sounds, rng))

    found = {}
    makers: list[tuple[Any, int]] = [(synth_voices.Kokoro(), 4), (synth_voices.Hibari(), 2), (synth_voices.Joe(), 2)]
    if styles is not None:
        makers += [(synth_voices.Kokoro(styles), 11), (synth_voices.Joe(), 1), (synth_voices.Espeak(), 3)]
    for maker, count in makers:
        for _ in range(count):
            rng = Random(f"walk-{seed}-{type(maker).__name__}-{len(found)}")
            speaker = maker.speaker(rng, len(found))
            found[speaker.name] = speaking(speaker, rng)
    return found


def in_a_room(said: Any, chance: np.random.Generator) -> Any:
    """For half of them reverberation (0.15 to 0.5 s, 3 to 14 dB below the direct sound)."""
    if chance.random() < 0.5:
        return said
    time = np.arange(int(0.4 * RATE)) / RATE
    tail = chance.normal(size=len(time)) * np.exp(-6.9 * time / chance.uniform(0.15, 0.5))
    tail *= 10 ** (-chance.uniform(3, 14) / 20) / np.sqrt((tail**2).sum())
    tail[0] = 1.0
    return np.convolve(said, tail)


def coloured_noise(samples: int, chance: np.random.Generator) -> Any:
    """Of power 1, falling by 1 to 6 dB an octave."""
    hertz = np.maximum(np.fft.rfftfreq(samples, 1 / RATE), 40)
    spectrum = np.fft.rfft(chance.normal(size=samples)) * hertz ** (-chance.uniform(0.3, 2.0) / 2)
    noise = np.fft.irfft(spectrum, samples)
    return noise / noise.std()


def voices(which: str, styles: Path | None = None) -> dict[str, Speak]:
    if which == "test":
        return {
            "slt": flite("slt"), "slt low": flite("slt", 0.9, 1.1), "awb": flite("awb"),
            "awb high": flite("awb", 1.08, 0.95), "kal16": flite("kal16"), "kdl": festival("ked_diphone"),
        }  # fmt: skip
    if styles is not None:
        return trained("dev", styles)
    return {**trained("dev"), "rms": flite("rms"), "rms high": flite("rms", 1.12, 0.95)}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("which", choices=("dev", "test"))
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--to", type=Path, required=True)
    parser.add_argument("--usual", action="store_true", help="findings as often as parts.py guesses")
    parser.add_argument("--rooms", action="store_true", help="rooms and noise, instead of a quiet booth")
    parser.add_argument("--styles", type=Path, help="more voices for dev: the folder voices/ of kokoro-js")
    choice = parser.parse_args()
    choice.to.mkdir(parents=True, exist_ok=True)
    speakers, chance = list(voices(choice.which, choice.styles).items()), np.random.default_rng(choice.seed)
    with (choice.to / "lines.tsv").open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, delimiter="\t", lineterminator="\n")
        rows.writerow(["file", "voice", "kind", "at", "text", "graded"])
        for number, line in enumerate(lines(choice.count, choice.seed, usual=choice.usual)):
            voice, speak = speakers[number % len(speakers)]
            said = np.asarray(speak(line.text), dtype=float)
            power = float(np.sqrt(np.mean(said**2)) / np.abs(said).max())
            said = in_a_room(said, chance) if choice.rooms else said
            peak = 10 ** (-chance.uniform(3, 12) / 20)
            said *= peak / np.abs(said).max()
            sound = np.concatenate([np.zeros(RATE // 2), said, np.zeros(int(1.3 * RATE))])
            if choice.rooms:
                sound += coloured_noise(len(sound), chance) * power * peak * 10 ** (-chance.uniform(14, 40) / 20)
            sound += chance.normal(0, ROOM_NOISE, len(sound))
            name = f"{number:04d}.flac"
            sf.write(choice.to / name, np.clip(sound, -1, 1), RATE, subtype="PCM_16")
            rows.writerow([name, voice, line.kind, line.at, line.text, line.graded])
            file.flush()


if __name__ == "__main__":
    main()
