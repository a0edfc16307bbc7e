"""What a count of swings says of the flange's friction: an interval, never a single number.

A count of n passes happens for every mu between the greatest that still allows n and the greatest that allows n + 1;
"to and fro" leaves one pass open besides, and the eye easily misses the last small one or adds one.
"""

from __future__ import annotations

from decimal import Decimal
from math import floor

from handsfree.reckoning.compass import KEYS, grams
from handsfree.reckoning.leverage import torque_at_key
from handsfree.reckoning.pendulum import MOST_PASSES, greatest_mu
from handsfree.reckoning.readings import Hammer, Method, Sitting, SwingDefinition
from handsfree.reckoning.results import Flange, Interval, SwingFigures
from handsfree.reckoning.touch_settings import TouchSettings

GF_MM_IN_MN_M = 9.80665e-3
"""1 gram-force millimetre in millinewton metres (standard gravity, ISO 80000-3)."""

RELEASE_FROM, RELEASE_TO = 10, 130
"""Degrees: release angles that the relation is worked out for."""


def passes_of(count: Decimal, definition: SwingDefinition) -> tuple[int, int]:
    """Fewest and most passes through the lowest point that a count (>= 0) can mean.

    Out and back is two passes, and one more may have been under way; half a to-and-fro settles that one. Half a pass
    is none: the count then lies between the whole ones.
    """
    whole = floor(count)
    half = count != whole
    if definition is SwingDefinition.PASS:
        return whole, whole + 1 if half else whole
    return (2 * whole + 1, 2 * whole + 1) if half else (2 * whole, 2 * whole + 1)


def mu_interval(fewest: int, most: int, release_degrees: float) -> Interval:
    """mu for a number of passes between the two: (greatest mu for most + 1, greatest mu for fewest]."""
    low = greatest_mu(most + 1, release_degrees)
    return Interval(low, greatest_mu(fewest, release_degrees) if fewest > 0 else None)


def flange_state(count: Decimal, settings: TouchSettings) -> Flange:
    if count == 0:
        return Flange.SEIZED
    if count < settings.swings_tight:
        return Flange.TIGHT
    return Flange.LOOSE if count >= settings.swings_loose else Flange.FREE


def swing_figures(key: int, count: Decimal, method: Method, settings: TouchSettings) -> SwingFigures:
    """Everything that follows from one count (>= 0)."""
    fewest, most = passes_of(count, method.swing)
    release = float(method.release_angle)
    mu = eye = None
    notes: list[str] = []
    if count != floor(count) and method.swing is SwingDefinition.PASS:
        notes.append(f"half a pass does not exist: taken as {fewest} to {most}")
    if not RELEASE_FROM <= release <= RELEASE_TO:
        notes.append(f"no friction from a release at {grams(method.release_angle)} degrees")
    elif most >= MOST_PASSES - 2:
        notes.append("no hammer swings that often")
    else:
        mu = mu_interval(fewest, most, release)
        eye = mu_interval(max(0, fewest - 1), most + 1, release)
    torque = _scaled(eye, weight_moment(key, method.hammers))
    at_key = None
    radius = _between(key, method.hammers, "radius")
    if radius is not None and method.action_ratio is not None:
        at_key = _scaled(torque, torque_at_key(1.0, radius, float(method.action_ratio)))
    return SwingFigures(
        count=count,
        definition=method.swing,
        passes=(fewest, most),
        mu=mu,
        mu_eye=eye,
        torque=torque,
        torque_mnm=_scaled(torque, GF_MM_IN_MN_M),
        at_key=at_key,
        flange=flange_state(count, settings),
        note="; ".join(notes),
    )


def torques(sitting: Sitting) -> dict[int, Interval]:
    """Key -> friction torque of its flange, mN m; only keys with a count and a weighed hammer."""
    counted = {r.key: r.swings for r in sitting.readings if r.swings is not None and r.key in KEYS}
    figures = {k: swing_figures(k, count, sitting.method, TouchSettings()) for k, count in counted.items()}
    return {k: f.torque_mnm for k, f in figures.items() if f.torque_mnm is not None}


def weight_moment(key: int, hammers: tuple[Hammer, ...]) -> float | None:
    """Weight torque of the key's hammer, gf mm (scale reading x radius, exactly, with the shank level)."""
    weight, radius = _between(key, hammers, "weight"), _between(key, hammers, "radius")
    return None if weight is None or radius is None else weight * radius


def _between(key: int, hammers: tuple[Hammer, ...], what: str) -> float | None:
    """The quantity at a key: in a straight line between the weighed hammers, level beyond the outermost ones."""
    known = sorted((h.key or 0, float(getattr(h, what))) for h in hammers if h.weight > 0 and h.radius > 0)
    if not known:
        return None
    below = [p for p in known if p[0] <= key]
    above = [p for p in known if p[0] > key]
    if not below or not above:
        return (below[-1] if below else above[0])[1]
    (left, at_left), (right, at_right) = below[-1], above[0]
    return at_left + (at_right - at_left) * (key - left) / (right - left)


def _scaled(interval: Interval | None, factor: float | None) -> Interval | None:
    if interval is None or factor is None:
        return None
    return Interval(interval.low * factor, None if interval.high is None else interval.high * factor)
