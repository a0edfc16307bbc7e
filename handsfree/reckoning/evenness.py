"""How even a touch is: each key against the curve of its neighbours of the same colour.

The curve runs over key numbers, so a key that was not measured leaves a gap and shifts nothing; naturals and sharps
apart, since their levers differ. Weights change along the compass by design, so it is the distance from the curve
that is judged, never the raw value.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import ceil
from statistics import median
from typing import get_args

from handsfree.reckoning.compass import counted, grams, listed
from handsfree.reckoning.lowess import lowess
from handsfree.reckoning.results import Colour, Curve, CurvePoint, CurveQuantity, Evenness, KeyFigures
from handsfree.reckoning.robust import STANDS_OUT, modified_z
from handsfree.reckoning.values import value_of

FEWEST = 8
"""Keys of one colour below which there is no curve: fewer would make their own neighbours (our choice)."""


def evenness(keys: Sequence[KeyFigures], step: Decimal) -> Evenness:
    """Curves of down weight, friction and balance; `keys` in key order, `step` in grams."""
    curves = tuple(
        _curve(quantity, colour, keys, step) for quantity in get_args(CurveQuantity) for colour in get_args(Colour)
    )
    off = sorted(abs(p.residual) for c in curves if c.quantity == "down" for p in c.points)
    # what stands out in balance alone is seen in the down weight; were it not, nobody would feel it
    out = tuple(sorted({p.key for c in curves if c.quantity != "balance" for p in c.points if p.stands_out}))
    if not off:
        why = f"How even the touch is was not worked out: that takes {FEWEST} naturals or {FEWEST} sharps."
        return Evenness(curves, 0, None, None, out, why)
    within = off[ceil(0.9 * len(off)) - 1]
    stand = f" Standing out: {listed(out)}." if out else " No key stands out."
    sentence = (
        f"Nine of ten keys lie within {grams(within)} g of the line through their neighbours "
        f"({counted(len(off), 'key')} compared).{stand}"
    )
    return Evenness(curves, len(off), within, median(off), out, sentence)


def _curve(quantity: CurveQuantity, colour: Colour, keys: Sequence[KeyFigures], step: Decimal) -> Curve:
    values = [(k.key, v) for k in keys if k.colour == colour and (v := value_of(k, quantity)) is not None]
    if len(values) < FEWEST:
        reason = f"{counted(len(values), colour)} with {quantity}; a curve takes {FEWEST}"
        return Curve(quantity, colour, (), "", reason)
    smooth = lowess([float(k) for k, _ in values], [float(v) for _, v in values])
    residuals = [float(v) - s for (_, v), s in zip(values, smooth, strict=True)]
    scored = modified_z(residuals)
    points = tuple(
        CurvePoint(key, value, fit, rest, score, abs(score) > STANDS_OUT and abs(rest) > step)
        for (key, value), fit, rest, score in zip(values, smooth, residuals, scored.scores, strict=True)
    )
    return Curve(quantity, colour, points, scored.rule)
