"""A comparison in sentences that a buyer can read; each says no more than its interval allows."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, sqrt

from handsfree.reckoning.compass import KEYS, counted, grams, listed
from handsfree.reckoning.results import Comparison, Figures, Heaviness, PairedDifference, Verdict
from handsfree.reckoning.student import normal_quantile

BY_CHANCE = 2.65
"""How much likelier than one figure any of the four of a key (down, up, and their half difference and half sum) is to
pass its limit by chance; simulated with normal readings at 95 %: 0.132 against 0.05."""
_NAMES = {"down": "Down weight", "up": "Up weight", "friction": "Friction", "balance": "Balance", "swings": "Swings"}


def conclusions(made: Comparison) -> Comparison:
    """The comparison with its sentences."""
    return replace(made, conclusions=(*_means(made), *_keys(made), *_side_by_side(made)))


def _means(made: Comparison) -> list[str]:
    if not made.keys:
        return ["No key is in both: nothing can be compared key by key."]
    sure = f"{grams(made.second.settings.confidence * 100)} %"
    said: list[str] = []
    for d in made.whole:
        if d.mean is None:
            continue
        line = _mean(d, made, sure)
        if d.quantity == "balance" and d.changed and not made.balance_changed:
            line = _small_shift(d.mean, made)
        said.append(line)
    return said


def _small_shift(mean: float, made: Comparison) -> str:
    """A friction-only job moves the computed balance a little, so this much of it proves nothing."""
    word, moved = ("different", "differs") if made.kind == "two instruments" else ("changed", "moved")
    beside = grams(made.whole[2].mean or 0.0)
    return (
        f"Balance is not called {word}: it {moved} by {grams(mean)} g beside {beside} g of friction, "
        "as much as friction alone brings about."
    )


def _mean(d: PairedDifference, made: Comparison, sure: str) -> str:
    unit = "" if d.quantity == "swings" else " g"
    name, mean = _NAMES[d.quantity], d.mean or 0.0
    if d.low is None or d.high is None:
        return f"{name}: {mean:+z.1f}{unit} on one key; one key proves nothing."
    interval = f"({sure}: {d.low:+z.1f} to {d.high:+z.1f}{unit}; {counted(d.keys, 'key')})"
    if not d.changed:
        return f"{name}: no difference of the mean is shown {interval}{_each(d, made)}."
    if made.kind == "two instruments":
        more = "more" if mean > 0 else "less"
        return (
            f"{name} is {grams(abs(mean))}{unit} {more} on {made.second.label} than on {made.first.label} {interval}."
        )
    verb = "rose" if mean > 0 else "fell"
    return f"{name} {verb} by {grams(abs(mean))}{unit} on average {interval}."


def _each(d: PairedDifference, made: Comparison) -> str:
    """What all keys did alike, where they did it too unevenly to be sure of a mean: else the sentence would seem to
    contradict the keys."""
    steps = [c.difference for k in made.keys for c in k.changes if c.quantity == d.quantity]
    one_way = all(s > 0 for s in steps) or all(s < 0 for s in steps)
    if made.kind == "two instruments" or len(steps) < 2 or not one_way:
        return ""
    did = "rose" if steps[0] > 0 else "fell"
    unit = "" if d.quantity == "swings" else " g"
    low, high = (grams(pick(map(abs, steps))) for pick in (min, max))
    return f", though it {did} on each of them, by {low} to {high}{unit}: too unevenly to be sure of a mean"


def _keys(made: Comparison) -> list[str]:
    said: list[str] = []
    weighed = len(made.changed_keys) + len(made.same_keys)
    if weighed:
        did, shown = ("differ", "difference") if made.kind == "two instruments" else ("changed", "change")
        rest = f"; of {len(made.same_keys)} no {shown} is shown" if made.same_keys else ""
        both = f"{len(made.changed_keys)} of {counted(weighed, 'key')} in both"
        said.append(f"{both} {did} by more than their uncertainty{rest}.")
        chance = round(BY_CHANCE * (1 - float(made.second.settings.confidence)) * weighed)
        if made.changed_keys and chance:
            said.append(
                f"Each key is judged by four figures: if there were no {shown} at all, up to about {chance} of "
                f"{weighed} would seem to show one, by chance."
            )
    for label, only in ((made.first.label, made.only_first), (made.second.label, made.only_second)):
        if only:
            said.append(f"Only in {label}: {listed(only, most=len(only))}.")
    return said


@dataclass(frozen=True, slots=True)
class _Standing:
    """How one instrument stands, on the keys that could be judged."""

    label: str
    judged: int
    fine: float
    """Share of the judged keys."""
    weighed: int
    heavy: float
    """Share of the keys with a down weight."""
    within: float | None
    """Grams, the evenness figure."""
    sentence: str


def _side_by_side(made: Comparison) -> list[str]:
    standings = [s for s in map(_standing, (made.first, made.second)) if s is not None]
    said = [s.sentence for s in standings]
    if made.kind == "two instruments" and len(standings) == 2:
        said.append(
            _better(standings[0], standings[1], float(made.second.settings.confidence))
            if len(made.keys) >= min(s.judged for s in standings) / 2
            else "Mostly other keys were read in each, so which has the better touch is not said."
        )
    return said


def _standing(figures: Figures) -> _Standing | None:
    judged = [k for k in figures.keys if k.verdict not in (Verdict.UNKNOWN, Verdict.DOUBTFUL)]
    if not judged:
        return None
    fine = sum(1 for k in judged if k.verdict is Verdict.FINE)
    ease = sum(1 for k in judged if k.verdict is Verdict.FRICTION)
    weight = sum(1 for k in judged if k.verdict in (Verdict.WEIGHT, Verdict.BOTH))
    weighed = [k for k in figures.keys if k.heaviness is not None]
    heavy = sum(1 for k in weighed if k.heaviness in (Heaviness.HEAVY, Heaviness.TOO_HEAVY))
    within = figures.evenness.within
    evenness = "" if within is None else f" Nine of ten keys lie within {grams(within)} g of their neighbours' line."
    sentence = (
        f"{figures.label}: of {counted(len(judged), 'key')} judged {fine} fine, {ease} for easing friction, "
        f"{weight} for weight or leverage; {heavy} above {grams(figures.settings.down_acceptable)} g.{evenness}"
    )
    share = heavy / len(weighed) if weighed else 0.0
    return _Standing(figures.label, len(judged), fine / len(judged), len(weighed), share, within, sentence)


def _better(one: _Standing, two: _Standing, confidence: float) -> str:
    """Named only if nothing speaks for the other; a gram or a key more is no reason to buy, and what few keys show
    may be chance."""
    fine = _least(confidence, (one.fine, one.judged), (two.fine, two.judged))
    heavy = _least(confidence, (one.heavy, one.weighed), (two.heavy, two.weighed))
    signs: list[tuple[str, int]] = [
        ("more of its keys are fine", _sign(one.fine - two.fine, fine)),
        ("fewer are heavy", _sign(two.heavy - one.heavy, heavy)),
    ]
    if one.within is not None and two.within is not None:
        signs.append(("it is more even", _sign(two.within - one.within, 0.5)))
    only = "This is of the touch only."
    for standing, way in ((one, 1), (two, -1)):
        reasons = [name for name, sign in signs if sign == way]
        if reasons and not any(sign == -way for _, sign in signs):
            return f"{standing.label} has the better touch: {', '.join(reasons)}. {only}"
    if any(sign for _, sign in signs):
        return f"Neither has the better touch in every respect. {only}"
    return f"Neither has the better touch on these readings. {only}"


def _least(confidence: float, *shares: tuple[float, int]) -> float:
    """The least difference of two shares (share, of how many keys) that counts: a tenth (our choice), or what chance
    leaves open for keys that stand for all 88 (normal interval of a difference of proportions, drawn without putting
    back; one key of each kind added, so that none of few is not taken for none of all)."""
    variance = 0.0
    for share, keys in shares:
        if keys == 0:
            return inf
        careful = (share * keys + 1) / (keys + 2)
        variance += careful * (1 - careful) / keys * (1 - keys / len(KEYS))
    return max(0.1, normal_quantile(confidence) * sqrt(variance))


def _sign(difference: float, least: float) -> int:
    return 0 if abs(difference) < least else (1 if difference > 0 else -1)
