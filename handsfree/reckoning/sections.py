"""A stretch of the compass looked at as one: spreads, counts of verdicts, and what most keys have."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from statistics import fmean, median

from handsfree.reckoning.compass import counted, grams
from handsfree.reckoning.results import KeyFigures, PairedQuantity, SectionFigures, Spread, Verdict
from handsfree.reckoning.touch_settings import Section
from handsfree.reckoning.values import value_of

FEWEST = 3
"""Judged keys below which a section gets no verdict (our choice)."""


def spread(values: Sequence[Decimal]) -> Spread | None:
    if not values:
        return None
    return Spread(len(values), fmean(values), float(median(values)), min(values), max(values))


def section_figures(section: Section, keys: Sequence[KeyFigures]) -> SectionFigures:
    """Of the keys that lie in the section."""
    inside = [k for k in keys if section.first <= k.key <= section.last]
    verdict, why = _verdict(inside)
    return SectionFigures(
        name=section.name,
        first=section.first,
        last=section.last,
        keys_read=len(inside),
        down=spread(_values(inside, "down")),
        up=spread(_values(inside, "up")),
        friction=spread(_values(inside, "friction")),
        balance=spread(_values(inside, "balance")),
        swings=spread(_values(inside, "swings")),
        no_return=tuple(k.key for k in inside if k.no_return),
        verdicts=tuple(Counter(k.verdict for k in inside).most_common()),
        verdict=verdict,
        why=why,
    )


def _values(keys: Sequence[KeyFigures], quantity: PairedQuantity) -> list[Decimal]:
    return [v for k in keys if (v := value_of(k, quantity)) is not None]


def _verdict(inside: Sequence[KeyFigures]) -> tuple[Verdict, str]:
    """What most of its keys have; of two as frequent, the one that asks for work."""
    judged = Counter(k.verdict for k in inside if k.verdict not in (Verdict.UNKNOWN, Verdict.DOUBTFUL))
    total = judged.total()
    if total < FEWEST:
        return Verdict.UNKNOWN, f"{counted(total, 'key')} judged; a verdict on the section takes {FEWEST}."
    verdict = max(judged, key=lambda v: (judged[v], v is not Verdict.FINE))
    shares = ", ".join(f"{number} {name}" for name, number in judged.most_common())
    why = f"Of {counted(total, 'key')} judged: {shares}."
    whole = [k for k in inside if value_of(k, "friction") is not None]
    if whole:
        down, up = median(_values(whole, "down")), median(_values(whole, "up"))
        why += f" The median key takes {grams(float(down))} g down and lifts {grams(float(up))} g."
    return verdict, why
