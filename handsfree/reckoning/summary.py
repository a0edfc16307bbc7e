"""The two questions that everything else in this room answers: what do these readings mean, and what changed.

figures(sitting, settings) -> Figures
compare(first, second, settings) -> Comparison
"""

from __future__ import annotations

from collections.abc import Sequence

from handsfree.reckoning.clean import usable, usable_settings
from handsfree.reckoning.comparison import Kind, comparison
from handsfree.reckoning.compass import colour_of, listed, note_name
from handsfree.reckoning.diagnosis import diagnose, heaviness
from handsfree.reckoning.evenness import evenness
from handsfree.reckoning.readings import KeyReading, Method, Sitting
from handsfree.reckoning.repeatability import repeatability
from handsfree.reckoning.results import Comparison, Figures, KeyFigures, NextKey
from handsfree.reckoning.sampling import sample
from handsfree.reckoning.sections import section_figures
from handsfree.reckoning.swing import swing_figures
from handsfree.reckoning.swing_beat import doubt
from handsfree.reckoning.touch import Precision, friction_and_balance, precision
from handsfree.reckoning.touch_settings import Section, TouchSettings
from handsfree.reckoning.treatment import treatments
from handsfree.reckoning.values import contradicts

WHOLE = Section("whole", 1, 88)
USUAL = TouchSettings()


def figures(sitting: Sitting, settings: TouchSettings = USUAL) -> Figures:
    """All figures of one sitting; never raises on readings, see `Figures.notes` for what could not be used."""
    settings, setting_notes = usable_settings(settings)
    sitting, notes = usable(sitting)
    repeats = repeatability(sitting)
    how = precision(
        sitting.method.weight_step,
        repeats.down.sd if repeats.down else 0.0,
        repeats.up.sd if repeats.up else 0.0,
    )
    keys = tuple(key_figures(r, sitting.method, how, settings) for r in sitting.readings)
    even = evenness(keys, sitting.method.weight_step)
    third = {k for r in (repeats.down, repeats.up) if r for k in r.third_wanted}
    again = [NextKey(k, "two readings lie further apart than they should") for k in sorted(third)]
    again += [NextKey(k, "it stands out from its neighbours") for k in even.stand_out]
    return Figures(
        label=sitting.label,
        method=sitting.method,
        settings=settings,
        keys=keys,
        whole=section_figures(WHOLE, keys),
        sections=tuple(section_figures(s, keys) for s in settings.sections),
        treatments=treatments(keys, settings, sitting.method.action_ratio),
        evenness=even,
        repeatability=repeats,
        sample=sample(keys, settings, sitting.method.weight_step, again),
        notes=(*setting_notes, *notes, *_missing(keys), *_about_torque(keys, sitting.method), *_about_beats(sitting)),
    )


def compare(
    first: Sitting, second: Sitting, settings: TouchSettings = USUAL, kind: Kind = "before and after"
) -> Comparison:
    """Second against first, key by key; never raises on readings."""
    return comparison(figures(first, settings), figures(second, settings), kind)


def key_figures(reading: KeyReading, method: Method, how: Precision, settings: TouchSettings) -> KeyFigures:
    """One key by itself; `reading` as `clean.usable` leaves it."""
    friction, balance = friction_and_balance(reading, how)
    swing = None
    if reading.swings is not None:
        swing = swing_figures(reading.key, reading.swings, method, settings)
    finding = diagnose(reading, friction, balance, swing, settings)
    return KeyFigures(
        key=reading.key,
        note=note_name(reading.key),
        colour=colour_of(reading.key),
        down=reading.down,
        up=reading.up,
        no_return=reading.no_return,
        friction=friction,
        balance=balance,
        swing=swing,
        heaviness=None if reading.down is None else heaviness(reading.down, settings),
        verdict=finding.verdict,
        why=finding.why,
        expected_down=finding.expected_down,
    )


def _missing(keys: Sequence[KeyFigures]) -> tuple[str, ...]:
    """One sentence for each kind of gap."""
    gaps = (
        (
            "Up without down, so neither friction nor balance",
            [k.key for k in keys if k.down is None and k.up is not None],
        ),
        (
            "Down without up, so neither friction nor balance",
            [k.key for k in keys if k.down is not None and k.up is None and not k.no_return],
        ),
        (
            "Up above down, so measure again",
            [k.key for k in keys if contradicts(k)],
        ),
        ("Friction 0 g, which is hardly possible", [k.key for k in keys if k.friction and k.friction.value == 0]),
    )
    notes = [f"{what}: {listed(found)}." for what, found in gaps if found]
    if keys and all(k.swing is None for k in keys):
        notes.append("No swings counted: nothing says where friction sits.")
    return tuple(notes)


def _about_torque(keys: Sequence[KeyFigures], method: Method) -> tuple[str, ...]:
    if len(method.hammers) != 1 or not any(k.swing and k.swing.torque for k in keys):
        return ()
    return ("One hammer's weight is taken for all keys: torques of bass and treble cannot be compared.",)


def _about_beats(sitting: Sitting) -> tuple[str, ...]:
    method = sitting.method
    found = doubt(sitting.beats, method.swing, float(method.release_angle))
    return (f"What counts as a swing is in doubt: {found}.",) if found else ()
