"""What changed between two sets of figures, and what only seems to have: before and after, or two instruments.

Two rules keep the claims honest. A single key changed only if the difference is more than a weight step and more than
its uncertainty. And a small shift of balance beside a large change of friction is not called a change of balance:
friction is not quite the same both ways, so a job on friction alone moves the computed balance a little.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import hypot, sqrt
from typing import Literal, get_args

from handsfree.reckoning.claims import conclusions
from handsfree.reckoning.paired import paired_difference
from handsfree.reckoning.results import (
    Change,
    Comparison,
    Figures,
    KeyChange,
    KeyFigures,
    PairedDifference,
    PairedQuantity,
    SectionDifference,
)
from handsfree.reckoning.student import normal_quantile
from handsfree.reckoning.touch_settings import TouchSettings
from handsfree.reckoning.uncertainty import coverage, precision_of
from handsfree.reckoning.values import value_of

Kind = Literal["before and after", "two instruments"]
QUANTITIES: tuple[PairedQuantity, ...] = get_args(PairedQuantity)
SMALL_SHIFT = "the small shift of balance beside the change of friction is not taken for a change of balance"


def comparison(first: Figures, second: Figures, kind: Kind) -> Comparison:
    """Second against first. Thresholds are the second's."""
    settings = second.settings
    one, two = {k.key: k for k in first.keys}, {k.key: k for k in second.keys}
    both = sorted(one.keys() & two.keys())
    pairs = [(one[k], two[k]) for k in both]
    notes = (*_method_notes(first, second), *_picked_note(first, second, kind))
    whole = _differences(pairs, first, second)
    sections = tuple(
        SectionDifference(
            s.name,
            s.first,
            s.last,
            _differences([p for p in pairs if s.first <= p[0].key <= s.last], first, second),
        )
        for s in settings.sections
    )
    keys = tuple(_key_change(a, b, first, second) for a, b in pairs)
    changed = tuple(k.key for k in keys if any(c.changed for c in k.changes if c.quantity != "swings"))
    weighed = tuple(k.key for k in keys if any(c.quantity != "swings" for c in k.changes))
    balance_changed = whole[3].changed and not is_small_shift(whole[2], whole[3], settings)
    made = Comparison(
        kind=kind,
        first=first,
        second=second,
        whole=whole,
        sections=sections,
        keys=keys,
        only_first=tuple(sorted(one.keys() - two.keys())),
        only_second=tuple(sorted(two.keys() - one.keys())),
        changed_keys=changed,
        same_keys=tuple(k for k in weighed if k not in changed),
        balance_changed=balance_changed,
        conclusions=(),
        notes=notes,
    )
    return conclusions(made)


def _picked_note(first: Figures, second: Figures, kind: Kind) -> tuple[str, ...]:
    """Keys measured again because they were bad come out better by chance alone (regression to the mean)."""
    again = {k.key for k in first.keys} & {k.key for k in second.keys}
    missing = len(first.keys) - len(again)
    if kind != "before and after" or not again or missing < len(first.keys) / 4:
        return ()
    return (
        "Fewer keys were measured again: if those were picked because they were bad, part of their change is chance.",
    )


def is_small_shift(friction: PairedDifference, balance: PairedDifference, settings: TouchSettings) -> bool:
    """True: friction changed, and balance moved by no more than a share of that."""
    if not friction.changed or friction.mean is None or balance.mean is None:
        return False
    return abs(balance.mean) <= float(settings.balance_shift_share) * abs(friction.mean)


def same_swings(first: Figures, second: Figures) -> bool:
    """Counts can be set against each other only if they were counted alike and let fall alike."""
    a, b = first.method, second.method
    return a.swing is b.swing and a.release_angle == b.release_angle


def _values(
    pairs: Sequence[tuple[KeyFigures, KeyFigures]], quantity: PairedQuantity
) -> list[tuple[Decimal, Decimal]]:
    found = ((value_of(a, quantity), value_of(b, quantity)) for a, b in pairs)
    return [(a, b) for a, b in found if a is not None and b is not None]


def _differences(
    pairs: Sequence[tuple[KeyFigures, KeyFigures]], first: Figures, second: Figures
) -> tuple[PairedDifference, ...]:
    confidence = second.settings.confidence
    alike = same_swings(first, second)
    done = []
    for quantity in QUANTITIES:
        values = _values(pairs, quantity) if quantity != "swings" or alike else []
        done.append(paired_difference(quantity, values, confidence, _step_sd(quantity, first, second)))
    return tuple(done)


def _step_sd(quantity: PairedQuantity, first: Figures, second: Figures) -> float:
    """Standard uncertainty of one difference from the steps alone (weights) or the eye's limit (swings)."""
    if quantity == "swings":
        return sqrt(2 / 3)  # a count off by up to one each time: half-width 1, rectangular
    one, two = float(first.method.weight_step), float(second.method.weight_step)
    return hypot(one, two) / sqrt(24 if quantity in ("friction", "balance") else 12)


def _key_change(a: KeyFigures, b: KeyFigures, first: Figures, second: Figures) -> KeyChange:
    changes: list[Change] = []
    for quantity in QUANTITIES:
        x, y = value_of(a, quantity), value_of(b, quantity)
        if x is None or y is None or (quantity == "swings" and not same_swings(first, second)):
            continue
        uncertainty = _uncertainty(quantity, first, second)
        changes.append(Change(quantity, x, y, y - x, uncertainty, abs(float(y - x)) > uncertainty + 1e-9))
    remark = ""
    if a.no_return and not b.no_return and b.up is not None:
        remark = "did not return, now does"
    elif b.no_return and not a.no_return and a.up is not None:
        remark = "returned, now does not"
    by = {c.quantity: c for c in changes}
    friction, balance = by.get("friction"), by.get("balance")
    if friction and balance and friction.changed and balance.changed:
        # of one key the shift is known to its uncertainty only, so that is taken off before it is judged
        shift = abs(float(balance.difference)) - balance.uncertainty
        if shift <= float(second.settings.balance_shift_share) * abs(float(friction.difference)):
            still = Change("balance", balance.first, balance.second, balance.difference, balance.uncertainty, False)
            changes[changes.index(balance)] = still
            remark = SMALL_SHIFT
    return KeyChange(a.key, a.note, tuple(changes), a.verdict, b.verdict, remark)


def _uncertainty(quantity: PairedQuantity, first: Figures, second: Figures) -> float:
    """Half-width for one key: a weight step, or the interval of the settings' confidence if that is wider; different
    steps shift down, up and friction by half of their difference besides."""
    if quantity == "swings":
        return normal_quantile(float(second.settings.confidence)) * _step_sd(quantity, first, second)
    wide = max(coverage(first), coverage(second))
    p, q = precision_of(first), precision_of(second)
    sd = {"down": hypot(p.down_sd, q.down_sd), "up": hypot(p.up_sd, q.up_sd)}.get(quantity, hypot(p.sd, q.sd))
    shift = 0.0 if quantity == "balance" else abs(float(p.step - q.step)) / 2
    return max(wide * sd, float(max(p.step, q.step))) + shift


def _method_notes(first: Figures, second: Figures) -> tuple[str, ...]:
    notes: list[str] = []
    a, b = first.method, second.method
    if a.weight_step != b.weight_step:
        off = (b.weight_step - a.weight_step) / 2
        notes.append(
            f"Weight steps differ ({a.weight_step} g and {b.weight_step} g): that alone shifts mean friction by "
            f"{off:+} g, balance by nothing."
        )
    if not same_swings(first, second):
        notes.append("Swings were counted or let fall differently: their counts are not compared.")
    if first.settings.sections != second.settings.sections:
        notes.append("Sections are those of the second.")
    return tuple(notes)
