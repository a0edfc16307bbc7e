"""How well one key's figures are known: from the steps of the weights, and from repeated readings."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from handsfree.reckoning.compass import grams
from handsfree.reckoning.repeatability import ENOUGH
from handsfree.reckoning.results import Figures
from handsfree.reckoning.student import normal_quantile, t_quantile
from handsfree.reckoning.touch import Precision, precision


@dataclass(frozen=True, slots=True)
class Known:
    """Half-widths at the settings' confidence, grams."""

    down: float
    up: float
    weighed: float
    """Of friction and of balance."""
    bias: float
    """Friction reads this much too high on average."""
    sentence: str


def precision_of(figures: Figures) -> Precision:
    repeats = figures.repeatability
    return precision(
        figures.method.weight_step,
        repeats.down.sd if repeats.down else 0.0,
        repeats.up.sd if repeats.up else 0.0,
    )


def coverage(figures: Figures) -> float:
    """How many standard uncertainties make an interval of the settings' confidence: normal where the weights' steps
    govern, Student's t where repeated readings do (GUM, G.3, from memory), since few of them tell little."""
    share = (1.0 + float(figures.settings.confidence)) / 2
    from_step = float(figures.method.weight_step) / sqrt(12)
    repeats = (figures.repeatability.down, figures.repeatability.up)
    degrees = [r.degrees for r in repeats if r is not None and r.sd > from_step]
    if not degrees:
        return normal_quantile(float(figures.settings.confidence))
    return t_quantile(share, max(min(degrees), ENOUGH))


def known(figures: Figures) -> Known:
    """Of any one key of a sitting."""
    how, repeats = precision_of(figures), figures.repeatability
    wide = coverage(figures)
    down, up, weighed, bias = wide * how.down_sd, wide * how.up_sd, wide * how.sd, float(how.step) / 2
    sure = f"{grams(figures.settings.confidence * 100)} %"
    told = "the steps of the weights" + (" and repeated readings" if repeats.down or repeats.up else "")
    sentence = (
        f"As far as {told} tell, the friction and the balance of one key are each known to \u00b1{weighed:.1f} g "
        f"({sure}); friction reads {bias:g} g too high on average."
    )
    if not (repeats.down or repeats.up):
        sentence += " No key was measured twice, so the true uncertainty may be larger."
    return Known(down, up, weighed, bias, sentence)
