"""The touch pass as shipped: strict grammar, n-best, meaning; are the shares honest, and what does talk turn into."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from corpora import Clip
from eval_ears import Guess, loaded, n_best, weighed
from eval_noise import CONDITIONS, under
from eval_score import calibration, fitted_scale, log_loss
from eval_sets import Item, read_sound
from handsfree.ears.model_folder import prepare_context
from handsfree.ears.recogniser import MOST_ALTERNATIVES
from handsfree.ears.second_ear import SecondEar
from handsfree.ears.sureness import shares
from handsfree.nouns import Context, Puzzle, Reading, Said
from handsfree.words.grammar import automaton, understand

SURE = 0.9


@dataclass(slots=True)
class Judged:
    """What became of a set of readings."""

    sentences: int = 0
    first: int = 0
    """The best alternative means what was said."""
    among: int = 0
    """One of the alternatives does."""
    sure_and_wrong: int = 0
    """Share of the best above SURE, and it means something else: a silent error, if nothing else is known."""
    shares: list[tuple[float, bool]] = field(default_factory=list)
    scored: list[tuple[list[float], int | None]] = field(default_factory=list)

    @property
    def best(self) -> float:
        return 100 * self.first / max(1, self.sentences)

    def text(self) -> str:
        count = max(1, self.sentences)
        return (
            f"{self.best:.0f} % of {self.sentences} right at once, {100 * self.among / count:.0f} % among the"
            f" alternatives, {100 * self.sure_and_wrong / count:.1f} % wrong with a share above {SURE:g}"
        )


class TouchEar:
    def __init__(self, model: Path, where: Path, second: SecondEar | None) -> None:
        self._model = loaded(prepare_context(model, automaton(Context.TOUCH), where))
        self._second = second

    def guesses(self, samples: np.ndarray) -> list[Guess]:
        """Best first; a score is the evidence for it."""
        return distinct(weighed(n_best(self._model, samples, MOST_ALTERNATIVES), self._second, samples))

    def judged(self, items: Sequence[Item]) -> Judged:
        result = Judged()
        for item in items:
            meant = understand(" ".join(item.words), Context.TOUCH)
            if not isinstance(meant, Reading):
                continue
            self._judge(result, meant, self.guesses(item.samples))
        return result

    def _judge(self, result: Judged, meant: Said, found: Sequence[Guess]) -> None:
        right = [understand(guess.text, Context.TOUCH) == meant for guess in found]
        scores = [guess.score for guess in found]
        best = shares(scores)[0] if scores else 1.0
        result.sentences += 1
        result.first += right[:1] == [True]
        result.among += any(right)
        result.sure_and_wrong += best > SURE and right[:1] != [True]
        result.shares.append((best, right[:1] == [True]))
        result.scored.append((scores, right.index(True) if any(right) else None))


PASSES = (Context.TOUCH, Context.SWINGS, Context.WALKTHROUGH)


def synthetic_sentences(folder: Path) -> dict[Context, list[tuple[np.ndarray, Said]]]:
    """Clips made by synth.py with another seed, by the pass whose grammar has the sentence: sound and meaning."""
    found: dict[Context, list[tuple[np.ndarray, Said]]] = {context: [] for context in PASSES}
    with (folder / "transcripts.tsv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file, delimiter="\t"):
            for context in PASSES:
                meaning = understand(row["words"], context)
                if not isinstance(meaning, Puzzle):
                    found[context].append((read_sound(folder / row["file"]), meaning))
                    break
    return found


def synthetic_exact(
    model: Path, folder: Path, where: Path, second: SecondEar | None
) -> Iterator[tuple[str, int, int]]:
    """(pass, sentences whose best alternative means what was said, sentences). Not people: words that no corpus has,
    by voices of the families that training heard."""
    for context, clips in synthetic_sentences(folder).items():
        net = loaded(prepare_context(model, automaton(context), where / context.name))
        found = (weighed(n_best(net, samples, MOST_ALTERNATIVES), second, samples) for samples, _ in clips)
        best = [guesses[0].text if guesses else "" for guesses in found]
        right = sum(understand(text, context) == meaning for text, (_, meaning) in zip(best, clips, strict=True))
        yield context.value, right, len(clips)


def distinct(found: Sequence[Guess]) -> list[Guess]:
    """The best of those that mean the same; alternatives without a meaning stay as they are."""
    kept: dict[object, Guess] = {}
    for guess in found:
        meaning = understand(guess.text, Context.TOUCH)
        kept.setdefault(guess.text if isinstance(meaning, Puzzle) else repr(meaning), guess)
    return list(kept.values())


def calibrated(
    ear: TouchEar, items: Sequence[Item], noise: list[np.ndarray], figures: dict[str, float]
) -> Iterator[str]:
    """Clean and at 10 dB of babble and of knocks together, as a sitting would mix them."""
    everything = Judged()
    rng = np.random.default_rng(4)
    for condition in (CONDITIONS[0], CONDITIONS[5], CONDITIONS[8]):
        some = [replace(item, samples=under(condition, item.samples, rng, noise)) for item in items[::2]]
        found = ear.judged(some)
        everything.shares += found.shares
        everything.scored += found.scored
    scale = fitted_scale(everything.scored)
    error, table = calibration(everything.shares)
    figures["calibration_error"] = round(error, 3)
    figures["best_scale"] = scale
    yield (
        f"log loss {log_loss(1.0, everything.scored):.3f}, calibration error {error:.3f} over"
        f" {len(everything.shares)}; best scale of the evidence here {scale:g}:"
        f" {log_loss(scale, everything.scored):.3f}"
    )
    yield "share -> right: " + ", ".join(f"{mean:.2f} -> {right:.2f} ({count})" for mean, right, count in table)


def talk_items(clips: Sequence[Clip], quick: bool) -> list[Item]:
    """Orders and read books of the test part: talk that is not for the tool."""
    chosen = [clip for clip in clips if clip.corpus in ("orders", "books") and clip.split == "test"]
    return [Item(c.name, c.speaker, {}, read_sound(c.path), c.slots) for c in chosen[:: 4 if quick else 1]]


def pieces(samples: np.ndarray) -> Iterator[np.ndarray]:
    """Talk cut where it is quiet for 0.5 s, as the endpointer does."""
    frames = samples[: len(samples) // 320 * 320].reshape(-1, 320).astype(np.float64)
    power = (frames**2).mean(axis=1) + 1
    quiet = power < max(power) / 2000
    start, silent = 0, 0
    for number, is_quiet in enumerate(quiet):
        silent = silent + 1 if is_quiet else 0
        if silent == 25 and number - start > 40:
            yield samples[start * 320 : (number + 1) * 320]
            start = number - 10
    if len(samples) - start * 320 > 8000:
        yield samples[start * 320 :]


def false_readings(ear: TouchEar, talk: Sequence[Item], figures: dict[str, float]) -> Iterator[str]:
    hours = sum(len(item.samples) for item in talk) / 16000 / 3600
    words = readings = sure = sentences = heard_talk = count = 0
    for item in talk:
        for piece in pieces(item.samples):
            found = ear.guesses(piece)
            if not found:
                continue
            count += 1
            best = shares([guess.score for guess in found])[0]
            meaning = understand(found[0].text, Context.TOUCH)
            heard_talk += "[unk]" in found[0].text
            words += sum(word != "[unk]" for word in found[0].text.split())
            sentences += not isinstance(meaning, Puzzle)
            readings += isinstance(meaning, Reading)
            sure += isinstance(meaning, Reading) and meaning.key is not None and best > SURE
    figures["false_readings_an_hour"] = round(readings / hours, 1)
    figures["false_sure_readings_an_hour"] = round(sure / hours, 1)
    figures["false_words_an_hour"] = round(words / hours, 1)
    yield (
        f"{hours * 60:.0f} min, {count} pieces: {words / hours:.0f} false words, {sentences / hours:.0f} false"
        f" sentences, {readings / hours:.0f} false readings an hour ({sure / hours:.1f} with note and a share above"
        f" {SURE:g}); "
        f"{100 * heard_talk / max(1, count):.0f} % taken for other talk"
    )
