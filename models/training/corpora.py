"""The four speech corpora, read in place: who said what, checked, and which speakers train, tune and test.

    an4       letters, digits, numbers, dates, a few commands; transcribed by hand
    spelled   names letter by letter and numbers digit by digit, accented voices, phones and laptops; prompts only
    orders    people ordering coffee: talk that is not for the tool; machine transcripts
    books     read books: the same; machine transcripts
    synthetic (optional) words nobody recorded, spoken by synthesis; training only

Letters are upper case in our texts ("A" the letter, "a" the article), everything else is lower case.
"""

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from hmm import Slots, as_slots

GARBAGE_WORD = "[unk]"
TALK = ("orders", "books")
WORD_TIMES = Path(__file__).resolve().parent / "word_times.tsv"
DOUBTFUL_BELOW = -0.5
"""Machine transcripts with a lower mean log probability are left out."""

AN4_TEST = frozenset("fsrb ftmj fjdn mblw mdxs mjgk msct mtje".split())
AN4_DEV = frozenset("fmjc flrp mcen mmkw".split())
SPELLED_TEST = frozenset("s06 s14 s17 s25 s32 s39 s44 s50 s61 s64".split())
SPELLED_DEV = frozenset("s04 s22 s47 s56 s62".split())
BOOKS_TEST = frozenset({"27"})
ORDERS_TEST_EVERY = 10
"""Orders carry no speaker names; every tenth clip tests, so those voices may have been heard in training."""

SAID_OTHERWISE: dict[str, str | None] = {
    # What was heard in place of the prompt. None: the name spoken as a word, or something else altogether.
    # Found by decoding every clip with an earlier model and reading where it differs from the prompt.
    "s01/names": None,
    "s01/numbers": None,
    "s05/names": None,
    "s07/names": None,
    "s11/names": None,
    "s16/names": None,
    "s54/names": None,
    "s16/numbers": "five five five one two three four",
    # Prompts were kept as numbers somewhere, which lost a leading zero.
    "s32/numbers": "zero one two three four five six seven eight nine",
    "s33/numbers": "zero eight one three five four six seven nine eight",
    "s39/numbers": "zero one two three four five nine eight seven six",
    "s41/numbers": "zero nine eight seven six five four three two one",
}

_ONES = tuple(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen".split()
)
_TENS = tuple("zero ten twenty thirty forty fifty sixty seventy eighty ninety".split())


class BadCorpus(ValueError):
    """A corpus that is missing, broken or mislabelled; the message names the file."""


@dataclass(frozen=True, slots=True)
class SpokenWord:
    """A word with its rough place in a clip, in seconds."""

    word: str
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Clip:
    """One recording and what is said in it."""

    name: str
    corpus: str
    speaker: str
    split: str
    """train, dev or test"""
    path: Path
    slots: Slots
    spoken: tuple[SpokenWord, ...] = ()
    """Word places, where known; for splicing."""
    about: dict[str, str] = field(default_factory=dict)
    """group, gender and device, where the corpus tells."""


def _rows(path: Path, columns: Iterable[str]) -> list[dict[str, str]]:
    if not path.is_file():
        raise BadCorpus(f"{path} is missing: see models/training/README.md for the corpora and where they belong")
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))
    missing = set(columns) - set(rows[0] if rows else ())
    if missing:
        raise BadCorpus(f"{path} has no column {', '.join(sorted(missing))}")
    return rows


def _existing(path: Path) -> Path:
    if not path.is_file():
        raise BadCorpus(f"{path} is named in a transcript but missing")
    return path


def _split(speaker: str, dev: frozenset[str], test: frozenset[str]) -> str:
    return "test" if speaker in test else "dev" if speaker in dev else "train"


def _key(word: str) -> str:
    """A word of an upper-case transcript in our spelling."""
    return word if len(word) == 1 else word.lower()


WordTimes = Mapping[str, tuple[SpokenWord, ...]]
"""Clip -> its words that may be cut out."""


def _times(path: Path, prefix: str = "") -> dict[str, tuple[SpokenWord, ...]]:
    """A table of word times; words with a doubt are left out."""
    found: dict[str, list[SpokenWord]] = {}
    for row in _rows(path, ("file", "word", "start_s", "end_s")):
        if not row.get("doubt"):
            try:
                word = SpokenWord(_key(row["word"]), float(row["start_s"]), float(row["end_s"]))
            except ValueError as problem:
                raise BadCorpus(f"{path}, {row['file']}, word {row['word']!r}: {problem}") from problem
            found.setdefault(prefix + row["file"], []).append(word)
    return {name: tuple(words) for name, words in found.items()}


def word_times() -> WordTimes:
    """Ours, by forced alignment (alignment.py)."""
    return _times(WORD_TIMES)


def rough_times(speech: Path) -> WordTimes:
    """Those that come with the corpora."""
    return _times(speech / "an4" / "word_times.tsv", "an4/") | _times(
        speech / "spelled" / "word_times.tsv", "spelled/"
    )


def read_an4(folder: Path, times: WordTimes) -> Iterator[Clip]:
    for row in _rows(folder / "transcripts.tsv", ("file", "speaker", "words")):
        speaker, name = row["speaker"], row["file"]
        if not row["words"].strip() or speaker[:1] not in ("f", "m"):
            raise BadCorpus(
                f"{folder / 'transcripts.tsv'}, {name}: no words, or speaker {speaker!r} is not f... or m..."
            )
        yield Clip(
            f"an4/{name}", "an4", speaker, _split(speaker, AN4_DEV, AN4_TEST), _existing(folder / name),
            as_slots([_key(word) for word in row["words"].split()]),
            times.get(f"an4/{name}", ()),
            {"gender": {"f": "Female", "m": "Male"}[speaker[0]], "group": "US", "device": "Headset"},
        )  # fmt: skip


def with_alternatives(words: list[str]) -> Slots:
    """Spelled words with the ways people say them: "double l" for l l, "oh" for zero ("zed" is a pronunciation)."""
    slots: list[list[list[str]]] = []
    index = 0
    while index < len(words):
        word = words[index]
        single = [[word], ["oh"]] if word == "zero" else [[word]]
        if words[index : index + 2] == [word, word]:
            slots.append([a + b for a in single for b in single] + [["double", *a] for a in single])
            index += 2
        else:
            slots.append(single)
            index += 1
    return slots


def read_prompts(folder: Path) -> list[tuple[str, list[str]]]:
    """(file, words asked for) of every clip of `spelled`, as they came."""
    rows = _rows(folder / "prompts.tsv", ("file", "prompt"))
    return [(row["file"], [_key(word) for word in row["prompt"].split()]) for row in rows]


def read_spelled(folder: Path, times: WordTimes) -> Iterator[Clip]:
    """Prompts as verified: `SAID_OTHERWISE` replaces them, or leaves the clip out."""
    for row in _rows(folder / "prompts.tsv", ("file", "speaker", "group", "gender", "device", "prompt")):
        speaker, name = row["speaker"], row["file"]
        clip = name.removesuffix(".opus")
        heard = SAID_OTHERWISE.get(clip, row["prompt"])
        if heard is None:
            continue
        about = {"group": row["group"], "gender": row["gender"], "device": row["device"]}
        yield Clip(
            f"spelled/{name}", "spelled", speaker, _split(speaker, SPELLED_DEV, SPELLED_TEST),
            _existing(folder / name), with_alternatives([_key(word) for word in heard.split()]),
            times.get(f"spelled/{name}", ()), about,
        )  # fmt: skip


def number_words(number: int) -> list[list[str]]:
    """The ways to say a whole number below 1000: twelve; two hundred (and) five."""
    if number < 20:
        return [[_ONES[number]]]
    if number < 100:
        return [[_TENS[number // 10], *([_ONES[number % 10]] if number % 10 else [])]]
    hundreds = [_ONES[number // 100], "hundred"]
    if number % 100 == 0:
        return [hundreds]
    rest = number_words(number % 100)[0]
    return [hundreds + rest, [*hundreds, "and", *rest]]


def talk_slots(transcript: str) -> Slots | None:
    """A machine transcript as words; None when it holds a number or sign that could be said in many ways."""
    slots: list[list[list[str]]] = []
    for token in re.sub(r"[—–-]", " ", transcript.replace("’", "'")).split():
        word = token.strip(".,;:!?\"'()[]“”‘").lower()
        if not word:
            continue
        if word.isascii() and word.isdigit() and int(word) < 1000:
            slots.append(number_words(int(word)))
        elif re.fullmatch(r"[a-z]+('[a-z]+)*", word):
            slots.append([[word]])
        else:
            return None
    return slots or None


def _read_talk(folder: Path, corpus: str) -> Iterator[Clip]:
    columns = ("file", "speaker", "machine_transcript", "mean_log_probability")
    for index, row in enumerate(_rows(folder / "machine_transcripts.tsv", columns)):
        slots = talk_slots(row["machine_transcript"])
        if corpus == "books":
            split = _split(row["speaker"], frozenset(), BOOKS_TEST)
        else:
            split = "test" if index % ORDERS_TEST_EVERY == 0 else "train"
        doubtful = float(row["mean_log_probability"]) < DOUBTFUL_BELOW
        if split == "train" and (slots is None or doubtful):
            continue
        speaker = row["speaker"] or f"unnamed {index}"
        yield Clip(f"{corpus}/{row['file']}", corpus, speaker, split, _existing(folder / row["file"]), slots or [])


def read_orders(folder: Path) -> Iterator[Clip]:
    return _read_talk(folder, "orders")


def read_books(folder: Path) -> Iterator[Clip]:
    return _read_talk(folder, "books")


def synthetic_words(text: str) -> list[str]:
    """Product words; a lone letter is a letter, but "a half" has the article."""
    words = text.lower().split()
    following = [*words[1:], ""]
    return [
        word.upper() if len(word) == 1 and not (word == "a" and after == "half") else word
        for word, after in zip(words, following, strict=True)
    ]


def read_synthetic(folder: Path) -> Iterator[Clip]:
    for row in _rows(folder / "transcripts.tsv", ("file", "speaker", "words")):
        yield Clip(
            f"synthetic/{row['file']}", "synthetic", row["speaker"], "train", _existing(folder / row["file"]),
            as_slots(synthetic_words(row["words"])),
        )  # fmt: skip


def read_all(speech: Path, synthetic: Path | None = None, times: WordTimes | None = None) -> list[Clip]:
    """Every usable clip below the folder that holds an4/, spelled/, orders/ and books/; `times`: other word times."""
    times = word_times() if times is None else times
    clips = [
        *read_an4(speech / "an4", times), *read_spelled(speech / "spelled", times),
        *read_orders(speech / "orders"), *read_books(speech / "books"),
    ]  # fmt: skip
    return clips + (list(read_synthetic(synthetic)) if synthetic else [])
