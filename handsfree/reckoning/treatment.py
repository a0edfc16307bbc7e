"""What to do, in the order of what it gains; weights and leverage last, since friction hides what they should be.

Bringing friction to its target takes a key to D' = B + F target; the balance stays. The tool advises, a qualified
technician decides; local codes and licensed practice come first.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from handsfree.reckoning.compass import counted, grams
from handsfree.reckoning.diagnosis import FRICTION_INVOLVED, WEIGHT_INVOLVED
from handsfree.reckoning.leverage import lead_hinders_above
from handsfree.reckoning.results import Expected, Flange, KeyFigures, Treatment, Verdict
from handsfree.reckoning.touch_settings import TouchSettings

_WHO = "This list advises; a qualified technician decides, and local codes come first."
_SOLVENT = "Solvents and alcohol burn: ventilate, no flames, keep off finishes, follow the safety data sheet."
_POWDER = "Dry lubricants: raise no dust, ventilate, never heat them, follow the safety data sheet."
_LEAD = "Key weights are lead: wash hands before eating or drinking, no dry sweeping, do not blow off white powder."
_DRY = "An instrument kept too dry has faults of its own: note temperature and humidity before easing anything."
_AGAIN = "Down, up and swings of the same keys, after a day's rest."


@dataclass(frozen=True, slots=True)
class _Job:
    what: str
    why: str
    cannot: str
    cautions: tuple[str, ...]
    again: str = _AGAIN


_FLANGES = _Job(
    "Ease the hammer flanges",
    "They swing too few times.",
    "The balance of a key stays what it is. If friction stays high, look at the key next.",
    ("A flange eased too far is loose: ease, try, ease again.", _SOLVENT, _DRY, _WHO),
)
_KEYS = _Job(
    "Ease the key bushings and the balance holes",
    "Friction is high although the hammer flanges are free. The key should fall freely.",
    "The balance of a key stays what it is.",
    ("The balance hole must not be elongated: that cannot be undone.", _POWDER, _DRY, _WHO),
)
_FIND = _Job(
    "Let the hammers swing, then ease flanges or keys",
    "Friction is high and no swings were counted, so nobody knows yet where it sits.",
    "The balance of a key stays what it is.",
    ("The balance hole must not be elongated.", _SOLVENT, _POWDER, _WHO),
    "Swings first; then down, up and swings after each step.",
)
_LOOSE = _Job(
    "Check for loose centres and side play",
    "Friction is very low, or the hammer swings far more than wanted.",
    "It takes nothing off the down weight; repinning adds friction.",
    ("Repin only after feeling for side play: swings alone do not clear or condemn a centre.", _DRY, _WHO),
)
_LIGHT = _Job(
    "Look at the balance of light keys",
    "The balance is low, so the key returns slowly or feels light.",
    "It takes nothing off the down weight; more balance makes the key heavier.",
    ("Free the key first: easing friction lifts the up weight by itself.", _LEAD, _WHO),
)
_WEIGHT = _Job(
    "Look at weights and leverage, last",
    "The balance is so high that these keys stay too heavy even with friction at its target.",
    "Lead in a key lowers the down weight and mends no friction; and it adds inertia.",
    ("Only after friction is at its target, and measured again.", _LEAD, _WHO),
    "Down and up of the same keys.",
)


def treatments(
    keys: Iterable[KeyFigures], settings: TouchSettings, ratio: Decimal | None = None
) -> tuple[Treatment, ...]:
    """Jobs that at least one key needs; a key may need several. Most gain first, weights and leverage last.

    `ratio`: the action ratio, if known, to say what a change at the key is at the hammer.
    """
    flanges: list[KeyFigures] = []
    key_side: list[KeyFigures] = []
    find: list[KeyFigures] = []
    loose: list[KeyFigures] = []
    light: list[KeyFigures] = []
    weight: list[KeyFigures] = []
    for k in keys:
        if k.verdict is Verdict.DOUBTFUL:
            continue
        tight = k.swing is not None and k.swing.flange in (Flange.SEIZED, Flange.TIGHT)
        if tight:
            flanges.append(k)
        elif k.verdict in FRICTION_INVOLVED:
            (find if k.swing is None else key_side).append(k)
        if k.verdict is Verdict.LOOSE or (k.swing is not None and k.swing.flange is Flange.LOOSE):
            loose.append(k)
        if k.verdict in (Verdict.LIGHT, Verdict.LIGHT_SLOW):
            light.append(k)
        if k.verdict in WEIGHT_INVOLVED and k.expected_down is not None:
            weight.append(k)
    easing = [
        _easing(
            _FLANGES, flanges, f"Freeing damp-seized flanges usually takes about {grams(settings.flange_gain)} g off"
        ),
        _easing(
            _KEYS,
            key_side,
            f"A dry lubricant in a tight balance hole usually takes about {grams(settings.balance_hole_gain)} g off",
        ),
        _easing(_FIND, find, f"Freeing damp-seized flanges usually takes about {grams(settings.flange_gain)} g off"),
    ]
    easing.sort(key=lambda t: -t.gain)
    others = [_without_gain(_LOOSE, loose), _without_gain(_LIGHT, light), _weights(weight, settings, ratio)]
    return tuple(t for t in (*easing, *others) if t.keys)


def _easing(job: _Job, keys: Sequence[KeyFigures], usual: str) -> Treatment:
    """`usual`: what the trade says of the job, to hold the hoped-for gain against."""
    expected = sorted((_expected(k) for k in keys), key=lambda e: (-(e.gain or 0), e.key))
    known = [e.gain for e in expected if e.gain is not None]
    total = sum(known, Decimal(0))
    why = job.why
    if known:
        mean = (total / len(known)).quantize(Decimal("0.1"))
        why += (
            f" Friction at its target takes {grams(mean)} g off a key on average "
            f"({counted(len(known), 'key')} known). {usual} (common practice, no source): "
            "if more is wanted, the rest sits elsewhere."
        )
    return Treatment(job.what, tuple(expected), total, why, job.cannot, job.cautions, job.again)


def _expected(k: KeyFigures) -> Expected:
    if k.down is None or k.expected_down is None:
        return Expected(k.key, k.down, None, None)
    return Expected(k.key, k.down, k.expected_down, k.down - k.expected_down)


def _without_gain(job: _Job, keys: Sequence[KeyFigures]) -> Treatment:
    expected = tuple(Expected(k.key, k.down, None, None) for k in keys)
    return Treatment(job.what, expected, Decimal(0), job.why, job.cannot, job.cautions, job.again)


def _weights(keys: Sequence[KeyFigures], settings: TouchSettings, ratio: Decimal | None) -> Treatment:
    """The keys that stay too heavy, heaviest first; what the weights should then be is not for a list to say."""
    left = sorted(
        (Expected(k.key, k.down, k.expected_down, None) for k in keys if _stays_heavy(k, settings)),
        key=lambda e: (-(e.expected_down or 0), e.key),
    )
    why = _WEIGHT.why
    if left and left[0].expected_down is not None and left[-1].expected_down is not None:
        low, high = grams(left[-1].expected_down), grams(left[0].expected_down)
        why += f" They would then take {high} g." if low == high else f" They would then take {low} to {high} g."
        over = float(left[0].expected_down - settings.down_acceptable)
        why += f" The heaviest needs {grams(over)} g off its balance"
        why += f": {over / float(ratio):.2f} g at the hammer (action ratio {grams(ratio)})." if ratio else "."
    cannot = _WEIGHT.cannot
    if balances := [k.balance.value for k in keys if k.balance is not None and _stays_heavy(k, settings)]:
        limit = lead_hinders_above(float(max(balances)))
        cannot += (
            f" Where the balance is {grams(max(balances))} g without lead, any lead makes the key start slower under "
            f"more than {grams(limit)} g of finger force, and quicker only under less (worked out for a simple beam)."
        )
    return Treatment(_WEIGHT.what, tuple(left), Decimal(0), why, cannot, _WEIGHT.cautions, _WEIGHT.again)


def _stays_heavy(k: KeyFigures, settings: TouchSettings) -> bool:
    return k.expected_down is not None and k.expected_down > settings.down_acceptable
