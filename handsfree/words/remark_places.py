"""Remarks in words: what each belongs to, what is known of what it says, and the places it can be put at. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from handsfree.nouns import Context, Item, PartNamed, Remark, Standing, Walk
from handsfree.words.grammar import understand

INSTRUMENT = "the instrument"
"""What a remark belongs to that belongs to no part."""
BY_MACHINE = "by machine, not checked"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a remark can belong."""

    part: str
    """ "": the whole instrument."""
    item: int | None
    name: str
    """ "hammers, grooved, bass"."""


def standing(walk: Walk) -> tuple[Remark, ...]:
    """Those that were not withdrawn, oldest first."""
    return tuple(remark for remark in walk.remarks if not remark.withdrawn)


def for_machine(remark: Remark) -> bool:
    """Whether a machine may write it down: it has sound, and a person's words are never overwritten."""
    return remark.clip is not None and remark.by != "keyboard"


def belongs_to(remark: Remark, walk: Walk) -> str:
    """ "hammers, grooved, bass", a part, or the instrument; what was withdrawn is not named."""
    item = next((i for i in walk.items if i.n == remark.item and i.standing is not Standing.WITHDRAWN), None)
    return named(item) if item else remark.part or INSTRUMENT


def named(item: Item) -> str:
    """ "hammers, grooved, bass"."""
    return ", ".join(filter(None, (item.finding.part, item.finding.finding, item.finding.place)))


def words_of(remark: Remark) -> str:
    """What is known of its words, machine's words marked as such."""
    if not remark.text:
        return "(sound only)" if remark.clip else "(its sound was not kept)"
    return f"{remark.text} ({BY_MACHINE})" if remark.by == "machine" else remark.text


def places(walk: Walk) -> tuple[Place, ...]:
    """All that a remark can be put at in a list: the findings, newest first, and the whole instrument."""
    return (*(_place_of(item) for item in reversed(walk.stands)), Place("", None, INSTRUMENT))


def place_named(text: str, walk: Walk) -> Place | None:
    """A finding by its number, a part by any of its names, "instrument"; None for anything else."""
    text = text.strip().lower()
    if text in ("instrument", INSTRUMENT):
        return Place("", None, INSTRUMENT)
    if text.isdecimal():
        return next((_place_of(i) for i in walk.stands if i.n == int(text)), None)
    said = understand(text, Context.WALKTHROUGH)
    return Place(said.part, None, said.part) if isinstance(said, PartNamed) else None


def _place_of(item: Item) -> Place:
    return Place(item.finding.part, item.n, named(item))
