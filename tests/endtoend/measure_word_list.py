"""The strict grammar against Vosk's own word list, on the same clips of people never heard before. Run by hand:

    python tests/endtoend/measure_word_list.py [--split dev] [--readings 24] [--model FOLDER]

Vosk makes a list of words into a grammar that puts them in any order (a bigram of the list, each word a phrase of its
own). Each person's readings ("c four fifty two twenty eight") are decoded with that list (all words of the touch
pass, and [unk]) and with the touch grammar, without any expectation of a sitting; what counts is what the text means.
Needs ../shared/speech (read in place).
"""

from __future__ import annotations

import argparse
import json
import os
import tempfile
from collections import Counter
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
import vosk
from people import RATE, people, telephone
from scripts import Said, script

from handsfree.ears.model_folder import find_model, prepare_context
from handsfree.ears.recogniser import load_model
from handsfree.nouns import Context, Puzzle, Reading
from handsfree.words.grammar import automaton, understand, vocabulary

APART = (0.05, 0.2)


def text_of(decoder: vosk.KaldiRecognizer, pcm: bytes) -> str:
    decoder.AcceptWaveform(pcm)
    return str(json.loads(decoder.FinalResult())["text"]).strip()


def meaning(text: str, said: Said) -> str:
    """right, wrong (a reading with another key or value), or no reading."""
    found = understand(text, Context.TOUCH)
    if not isinstance(found, Reading):
        return "unclear" if isinstance(found, Puzzle) and found.why.startswith("could be") else "no reading"
    values = [amount.value for amount in found.amounts]
    return "right" if (found.key, values) == (said.key, [said.down, said.up]) else "wrong"


def main() -> None:
    parser = argparse.ArgumentParser(description="strict grammar against Vosk's word list")
    parser.add_argument("--split", choices=("dev", "test"), default="dev")
    parser.add_argument("--readings", type=int, default=24)
    parser.add_argument("--model", type=Path)
    chosen = parser.parse_args()
    folder = find_model(chosen.model)
    words = json.dumps([*sorted(vocabulary(Context.TOUCH)), "[unk]"])
    counts: dict[str, Counter[str]] = {}
    with tempfile.TemporaryDirectory() as scratch:
        listed = load_model(folder)
        strict = load_model(prepare_context(folder, automaton(Context.TOUCH), Path(scratch)))
        for person in people(chosen.split, 10):
            rng = np.random.default_rng([7, *person.speaker.encode()])
            for said in script(person, chosen.readings, False, rng):
                clip = np.concatenate(
                    [
                        person.room(0.4, rng),
                        person.says([said.note, said.down_words, said.up_words], rng, APART),
                        person.room(0.8, rng),
                    ]
                )
                text = " ".join(word for group in (said.note, said.down_words, said.up_words) for word in group)
                for band, sound in (("", clip), (", 8 kHz band", telephone(clip))):
                    pcm = np.clip(np.rint(sound), -32768, 32767).astype("<i2").tobytes()
                    for name, decoder in (
                        (f"word list{band}", vosk.KaldiRecognizer(listed, RATE, words)),
                        (f"strict grammar{band}", vosk.KaldiRecognizer(strict, RATE)),
                    ):
                        heard = text_of(decoder, pcm)
                        row = counts.setdefault(name, Counter())
                        row[meaning(heard, said)] += 1
                        row["same words"] += heard == text
                        row["clips"] += 1
    for name, row in sorted(counts.items()):
        shares = ", ".join(
            f"{kind} {100 * row[kind] / row['clips']:.1f} %"
            for kind in ("right", "wrong", "unclear", "no reading", "same words")
        )
        print(f"{name:28}{row['clips']:>5} readings: {shares}")


if __name__ == "__main__":
    main()
