"""Write the second ear's folder as it ships: weights of 8 bits, the lexicon, the manifest. Needs no torch.

    python second_folder.py TRAINED.npz models/second-ear --version 1.0 [--corpora FILE] [--figures FILE]

Corpora and figures: those of the present manifest where none are given. After a change of the vocabulary TRAINED is
the folder's own weights.npz.
"""

from __future__ import annotations

import argparse
import shutil
from pathlib import Path

from corpora import GARBAGE_WORD
from handsfree.ears.second_ear import LEXICON, WEIGHTS
from lexicon import read_lexicon
from manifest import rewrite_manifest
from phones import BASE_PHONES, GARBAGE_PRONUNCIATION


def lexicon_lines() -> list[str]:
    """`word TAB phone numbers` for every pronunciation of the vocabulary, and for other talk."""
    said = {GARBAGE_WORD: [GARBAGE_PRONUNCIATION]}
    said |= {word: [choice.phones for choice in choices] for word, choices in read_lexicon().items()}
    number = {phone: str(place) for place, phone in enumerate(BASE_PHONES)}
    return [
        f"{word}\t{' '.join(number[phone] for phone in phones)}"
        for word, choices in said.items()
        for phones in choices
    ]


def main() -> None:
    parser = argparse.ArgumentParser(description="write the second ear's folder")
    parser.add_argument("trained", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--version", required=True)
    parser.add_argument("--corpora", type=Path)
    parser.add_argument("--figures", type=Path)
    args = parser.parse_args()
    args.folder.mkdir(parents=True, exist_ok=True)
    weights = args.folder / WEIGHTS
    if args.trained.resolve() != weights.resolve():
        shutil.copyfile(args.trained, weights)
    (args.folder / LEXICON).write_text("\n".join(lexicon_lines()) + "\n", encoding="utf-8")
    rewrite_manifest(args.folder, args.version, "release", args.corpora, args.figures)


if __name__ == "__main__":
    main()
