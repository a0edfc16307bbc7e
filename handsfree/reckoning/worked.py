"""Worked examples of every figure, for `handsfree figures --explain`; each number in them is computed on the spot."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from textwrap import wrap

from handsfree.reckoning.compass import grams
from handsfree.reckoning.leverage import torque_at_key
from handsfree.reckoning.readings import Hammer, KeyReading, Method, Sitting, SwingDefinition
from handsfree.reckoning.results import KeyFigures
from handsfree.reckoning.robust import modified_z
from handsfree.reckoning.summary import compare, figures
from handsfree.reckoning.swing import swing_figures
from handsfree.reckoning.touch_settings import TouchSettings

_MIDDLE_C = 40
WIDTH = 100

FLANGE_JOB = ((3, 56, 34, 60, 32), (4, 55, 28, 59, 26), (6, 55, 35, 59, 33), (8, 54, 32, 58, 31), (9, 54, 34, 57, 32))
"""Key, down and up before, down and up after: five keys of which only the hammer flanges were made tighter (one
technician's published readings, informal)."""


def worked_examples(settings: TouchSettings = TouchSettings()) -> Iterator[str]:  # noqa: B008 (frozen)
    """Lines of text, headings flush left."""
    for heading, sentences in (
        ("Friction and balance", _touch(settings)),
        ("Swings", _swings(settings)),
        ("Verdicts", _verdicts(settings)),
        ("Evenness", _evenness()),
        ("Repeatability", _repeatability(settings)),
        ("Before and after", _before_and_after(settings)),
        ("From a sample to the whole", _sample(settings)),
        ("Caution", ["The tool advises; a qualified technician decides, and local codes come first."]),
    ):
        yield heading
        for sentence in sentences:
            yield from wrap(sentence, WIDTH, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)
        yield ""


def _one(settings: TouchSettings, reading: KeyReading, method: Method | None = None) -> KeyFigures:
    return figures(Sitting("", (reading,), (), method or Method()), settings).keys[0]


def _read(down: str, up: str, swings: str | None = None) -> KeyReading:
    return KeyReading(_MIDDLE_C, Decimal(down), Decimal(up), False, None if swings is None else Decimal(swings))


def _touch(settings: TouchSettings) -> Iterator[str]:
    for down, up in (("52", "28"), ("52.5", "24")):
        k = _one(settings, _read(down, up))
        if k.friction and k.balance:
            yield (
                f"Down {down} g, up {up} g: friction (D - U)/2 = {grams(k.friction.value)} g, "
                f"balance (D + U)/2 = {grams(k.balance.value)} g."
            )
    for step in ("0.5", "1", "2"):
        k = _one(settings, _read("52", "28"), Method(Decimal(step)))
        if k.friction:
            yield (
                f"With weights in steps of {step} g friction reads {grams(k.friction.bias)} g too high on average, "
                f"balance nothing; the standard uncertainty of each is {k.friction.sd:.3f} g."
            )
    k = _one(settings, KeyReading(_MIDDLE_C, Decimal(50), None, True))
    yield f"Down 50 g, no return: {k.why}"
    k = _one(settings, _read("30", "45"))
    yield f"Down 30 g, up 45 g: {k.why}"


def _swings(settings: TouchSettings) -> Iterator[str]:
    yield (
        "A hammer let fall loses height to friction alone: cos a2 - cos a1 = mu (a1 + a2) from one turning point to "
        "the next, where mu is friction torque over weight torque."
    )
    for definition in SwingDefinition:
        method = Method(swing=definition, hammers=(Hammer(Decimal(10), Decimal(130)),), action_ratio=Decimal(5))
        s = swing_figures(_MIDDLE_C, Decimal(6), method, settings)
        if s.mu and s.mu.high and s.torque and s.torque.high:
            yield (
                f"6 swings from 90 degrees, a swing being {definition}: {_passes(s.passes)}, mu {s.mu.low:.4f} to "
                f"{s.mu.high:.4f}. With a hammer of 10 gf at 130 mm, and the eye off by one, the torque is "
                f"{s.torque.low:.0f} to {s.torque.high:.0f} gf mm."
            )
    yield (
        f"100 gf mm at a hammer of 130 mm and an action ratio of 5 is {torque_at_key(100, 130, 5):.2f} g at the key. "
        "As many swings of a lighter treble hammer mean less torque: counts of bass and treble are not compared."
    )


def _passes(passes: tuple[int, int]) -> str:
    return f"{passes[0]} passes" if passes[0] == passes[1] else f"{passes[0]} or {passes[1]} passes"


def _verdicts(settings: TouchSettings) -> Iterator[str]:
    examples = (
        ("62", "22", "3"), ("62", "22", "7"), ("64", "40", None), ("70", "28", None),
        ("46", "19", None), ("38", "22", None), ("48", "40", "12"), ("50", "26", "7"),
    )  # fmt: skip
    for down, up, swings in examples:
        k = _one(settings, _read(down, up, swings))
        count = "" if swings is None else f", {swings} swings"
        yield f"C4 down {down} g, up {up} g{count}: {k.verdict}. {k.why}"


def _evenness() -> Iterator[str]:
    values = (12, 13, 12, 14, 13, 12, 13, 19, 12, 13)
    scored = modified_z(values)
    yield (
        f"Of the distances {', '.join(map(str, values))} the median is {grams(scored.median)}; the modified z-score "
        f"of 19 is {scored.scores[7]:.4f}, above 3.5: it stands out."
    )
    scored = modified_z((12, 12, 12, 12, 12, 12, 15))
    yield f"Of six times 12 and one 15 the score is measured in the {scored.rule}: {scored.scores[-1]:.3f}."


def _repeatability(settings: TouchSettings) -> Iterator[str]:
    pairs = ((52, 53), (51, 51), (50, 52), (49, 49), (54, 53), (48, 50))
    first = tuple(KeyReading(k, Decimal(a)) for k, (a, _) in enumerate(pairs, 30))
    again = tuple(KeyReading(k, Decimal(b)) for k, (_, b) in enumerate(pairs, 30))
    yield f"Down weights read twice, {', '.join(f'{a} and {b}' for a, b in pairs)}: " + (
        figures(Sitting("", first, again), settings).repeatability.sentence
    )


def _before_and_after(settings: TouchSettings) -> Iterator[str]:
    before = tuple(KeyReading(k, Decimal(d), Decimal(u)) for k, d, u, _, _ in FLANGE_JOB)
    after = tuple(KeyReading(k, Decimal(d), Decimal(u)) for k, _, _, d, u in FLANGE_JOB)
    made = compare(Sitting("before", before), Sitting("after", after), settings)
    yield "Five keys before and after a job on the hammer flanges alone (one technician's readings, informal):"
    for d in made.whole:
        if d.mean is not None and d.low is not None and d.high is not None:
            yield f"{d.quantity}: mean change {d.mean:+.3f} g, {d.low:.4f} to {d.high:.4f} g."
    yield from (c for c in made.conclusions if c.startswith("Balance"))


def _sample(settings: TouchSettings) -> Iterator[str]:
    downs = (54, 52, 58, 51, 50, 55, 49, 57, 50, 48, 51, 47)
    keys = range(4, 89, 7)
    readings = tuple(KeyReading(k, Decimal(d)) for k, d in zip(keys, downs, strict=False))
    yield from figures(Sitting("", readings), settings).sample.sentences
