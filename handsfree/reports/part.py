"""One sitting, as the report takes it in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from handsfree.nouns import Sheet, Sitting, Walk
from handsfree.reckoning.results import Figures
from handsfree.reports.walk_section import Picture


@dataclass(frozen=True, slots=True)
class Part:
    sitting: Sitting
    sheet: Sheet
    figures: Figures
    fingerprint: str
    """Of the journal's facts at the time of writing."""
    details: Mapping[str, str] = field(default_factory=dict)
    """Anything given about place, person and climate: "Technician" -> "...", shown as given."""
    sounds: Mapping[int, bytes] = field(default_factory=dict)
    """Number of a value, finding or remark -> its clip (FLAC), to be heard from within the page."""
    walk: Walk = field(default_factory=Walk)
    """The walkthrough of the same sitting."""
    pictures: tuple[Picture, ...] = ()
    """Photographs to be shown in it."""
    rescued: tuple[str, ...] = ()
    """What is to be said of damage to the journal."""
    facts: int = 0
    """How many facts the fingerprint is of."""
    typed: frozenset[int] = frozenset()
    """Numbers of the heard lines that came by keyboard."""
    words: Mapping[int, str] = field(default_factory=dict)
    """Number of a value -> the words that it was taken from, where they were not the likeliest ones by ear."""
