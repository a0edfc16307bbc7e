"""What cannot be used is left out before anything is worked out, and each thing left out is named.

Readings were judged when they were taken; this is for tables from elsewhere and settings typed by hand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from handsfree.reckoning.compass import KEYS, counted, grams, listed, note_name
from handsfree.reckoning.readings import KeyReading, Method, Sitting
from handsfree.reckoning.touch_settings import TouchSettings

MOST_GRAMS = Decimal(150)
MOST_SWINGS = Decimal(150)
"""Above, a value is a slip of the tongue or of the keyboard (our choice)."""


def usable(sitting: Sitting) -> tuple[Sitting, tuple[str, ...]]:
    """The sitting with one sound reading per key, by key number, and why anything else is missing."""
    notes: list[str] = []
    readings = [r for found in sitting.readings if (r := _reading(found, notes)) is not None]
    repeats = [r for found in sitting.repeats if (r := _reading(found, notes)) is not None]
    standing: dict[int, KeyReading] = {}
    twice: list[int] = []
    for reading in readings:
        if reading.key in standing:
            repeats.append(standing[reading.key])
            twice.append(reading.key)
        standing[reading.key] = reading
    if twice:
        notes.append(f"Read more than once, the last reading stands: {listed(sorted(set(twice)))}.")
    ordered = tuple(standing[k] for k in sorted(standing))
    if not ordered:
        notes.append("No readings: nothing to work out yet.")
    method = _method(sitting.method, notes)
    notes += _between_steps(ordered, method.weight_step)
    return replace(sitting, readings=ordered, repeats=tuple(repeats), method=method), tuple(notes)


def _between_steps(readings: Iterable[KeyReading], step: Decimal) -> list[str]:
    """Values that weights of this step cannot show: then friction is known better than is said."""
    values = [value for r in readings for value in (r.down, r.up) if value is not None]
    between = sum(value % step != 0 for value in values)
    if not between:
        return []
    told = f"{between} of {counted(len(values), 'weight')} {'lies' if between == 1 else 'lie'} between the steps"
    return [
        f"{told} of {grams(step)} g that the settings name: the steps were finer, and friction is overstated by less "
        "than is said here."
    ]


def usable_settings(settings: TouchSettings) -> tuple[TouchSettings, tuple[str, ...]]:
    if _sane(settings.confidence) and Decimal("0.5") <= settings.confidence <= Decimal("0.9999"):
        return settings, ()
    note = f"Confidence {_shown(settings.confidence)} is not between 0.5 and 0.9999: 0.95 is used."
    return replace(settings, confidence=Decimal("0.95")), (note,)


def _reading(reading: KeyReading, notes: list[str]) -> KeyReading | None:
    """None: off the keyboard, or nothing of it can be used."""
    if reading.key not in KEYS:
        notes.append(f"Key {reading.key} is not one of 88: left out.")
        return None
    name = note_name(reading.key)
    down = _within(reading.down, f"{name} down", MOST_GRAMS, "g", notes)
    up = _within(reading.up, f"{name} up", MOST_GRAMS, "g", notes)
    swings = _within(reading.swings, f"{name} swings", MOST_SWINGS, "times", notes)
    if down is not None and down == 0:
        notes.append(f"{name} down 0 g cannot be: left out.")
        down = None
    if reading.no_return and up:
        notes.append(f"{name} has an up weight and yet does not return: the up weight is left out.")
    no_return = reading.no_return or (up is not None and up == 0)
    cleaned = KeyReading(reading.key, down, None if no_return else up, no_return, swings)
    return None if cleaned == KeyReading(reading.key) else cleaned


def _within(value: Decimal | None, what: str, most: Decimal, unit: str, notes: list[str]) -> Decimal | None:
    if value is None or (_sane(value) and 0 <= value <= most):
        return value
    notes.append(f"{what} {_shown(value)} is not between 0 and {grams(most)} {unit}: left out.")
    return None


def _sane(value: Decimal) -> bool:
    """A number that somebody could have read off: finite, with no more than six decimals."""
    exponent = value.as_tuple().exponent
    return isinstance(exponent, int) and exponent >= -6


def _shown(value: Decimal) -> str:
    return grams(value) if _sane(value) and abs(value) < 10**9 else "(no usable number)"


def _method(method: Method, notes: list[str]) -> Method:
    step, angle, ratio = method.weight_step, method.release_angle, method.action_ratio
    if not (_sane(step) and 0 < step <= 10):
        notes.append(f"A weight step of {_shown(step)} g is not between 0 and 10 g: 1 g is taken.")
        step = Decimal(1)
    if not (_sane(angle) and 0 < angle <= 180):
        notes.append(f"A release angle of {_shown(angle)} degrees is none: no friction is worked out from swings.")
        angle = Decimal(0)
    if ratio is not None and not (_sane(ratio) and 0 < ratio <= 20):
        notes.append(f"An action ratio of {_shown(ratio)} is not between 0 and 20: left out.")
        ratio = None
    hammers = tuple(h for h in method.hammers if _positive((h.weight, h.radius)))
    if len(hammers) < len(method.hammers):
        notes.append("A hammer without weight or radius is left out.")
    return Method(step, angle, method.swing, hammers, ratio)


def _positive(values: Iterable[Decimal]) -> bool:
    return all(_sane(v) and 0 < v < 10**6 for v in values)
