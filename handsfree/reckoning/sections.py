"""A stretch of the compass looked at as one: spreads, counts of verdicts, and what most keys have."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from statistics import fmean, median

from handsfree.reckoning.compass import counted, grams
from handsfree.reckoning.results import Bound, KeyFigures, SectionFigures, Spread, Verdict, Weighed
from handsfree.reckoning.touch_settings import Section

FEWEST = 3
"""Judged keys below which a section gets no verdict (our choice)."""


def spread(values: Sequence[Decimal]) -> Spread | None:
    if not values:
        return None
    return Spread(len(values), fmean(values), float(median(values)), min(values), max(values))


def section_figures(section: Section, keys: Sequence[KeyFigures]) -> SectionFigures:
    """Of the keys that lie in the section."""
    inside = [k for k in keys if section.first <= k.key <= section.last]
    whole = [k for k in inside if _exact(k.friction) is not None]
    verdict, why = _verdict(inside, whole)
    return SectionFigures(
        name=section.name,
        first=section.first,
        last=section.last,
        keys_read=len(inside),
        down=spread([k.down for k in inside if k.down is not None]),
        up=spread([k.up for k in inside if k.up is not None]),
        friction=spread([f for k in whole if (f := _exact(k.friction)) is not None]),
        balance=spread([b for k in whole if (b := _exact(k.balance)) is not None]),
        swings=spread([k.swing.count for k in inside if k.swing is not None]),
        no_return=tuple(k.key for k in inside if k.no_return),
        verdicts=tuple(Counter(k.verdict for k in inside).most_common()),
        verdict=verdict,
        why=why,
    )


def _exact(weighed: Weighed | None) -> Decimal | None:
    return weighed.value if weighed is not None and weighed.bound is Bound.EXACT else None


def _verdict(inside: Sequence[KeyFigures], whole: Sequence[KeyFigures]) -> tuple[Verdict, str]:
    """What most of its keys have; of two as frequent, the one that asks for work."""
    judged = Counter(k.verdict for k in inside if k.verdict not in (Verdict.UNKNOWN, Verdict.DOUBTFUL))
    total = judged.total()
    if total < FEWEST:
        return Verdict.UNKNOWN, f"{counted(total, 'key')} judged; a verdict on the section takes {FEWEST}."
    verdict = max(judged, key=lambda v: (judged[v], v is not Verdict.FINE))
    shares = ", ".join(f"{number} {name}" for name, number in judged.most_common())
    why = f"Of {counted(total, 'key')} judged: {shares}."
    if whole:
        down = median([k.down for k in whole if k.down is not None])
        up = median([k.up for k in whole if k.up is not None])
        why += f" The median key takes {_tenth(down)} g down and lifts {_tenth(up)} g."
    return verdict, why


def _tenth(value: Decimal) -> str:
    return grams(float(value))
