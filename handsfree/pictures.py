"""Which photograph shows what: by the time that the camera wrote into it, against the times of the walkthrough. Pure.

A photograph belongs to the finding that was said last when it was taken; where the walkthrough had gone on to another
part since, to that part. Cameras' clocks are wrong; by how much can be said. Where a camera wrote no offset from UTC,
its clock is taken to show the time of the sitting's place.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from handsfree.nouns import Item, Walk

BEFORE = timedelta(minutes=2)
"""So long before the first thing said a photograph still belongs to it."""
PAUSE = timedelta(hours=1)
"""So long may be a pause between two things said, for a photograph taken in it to be of the walkthrough in any
case."""
AFTER = timedelta(minutes=15)
"""So long after the last thing said a photograph still belongs to the walkthrough."""

_OFFSET = re.compile(r"(?P<sign>[+-])(?:(?P<h>\d+)h)?(?:(?P<m>\d+)m)?(?:(?P<s>\d+)s)?")
_ZONE = re.compile(r"[+-]\d\d:\d\d|Z")
"""An offset from UTC as EXIF 2.31 has it; where none is known, a camera writes blanks with or without the colon."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What a photograph shows."""

    part: str
    item: int | None
    """Number of the finding; None: nothing had been said of the part yet."""


def clock_offset(text: str) -> timedelta | None:
    """ "+1h2m30s": the camera is that much ahead, "-45s": behind; None for anything else."""
    found = _OFFSET.fullmatch(text.strip())
    if not found or not any(found[unit] for unit in "hms"):
        return None
    ahead = timedelta(hours=int(found["h"] or 0), minutes=int(found["m"] or 0), seconds=int(found["s"] or 0))
    return -ahead if found["sign"] == "-" else ahead


def taken_at(written: str, offset: str | None, walk: Walk, camera_ahead: timedelta) -> datetime | None:
    """When a photograph was taken, from EXIF's DateTimeOriginal ("2031:03:14 11:02:03") and OffsetTimeOriginal
    ("+01:00"), on the clock of the sitting's place; None for what is no time, such as a camera's zeros, or where
    nothing was said in this walkthrough."""
    try:
        local = datetime.strptime(written.strip("\0 "), "%Y:%m:%d %H:%M:%S") - camera_ahead
    except (ValueError, OverflowError):
        return None
    given = (offset or "").strip("\0 ")
    zone = datetime.fromisoformat(f"2000-01-01T00:00:00{given}").tzinfo if _ZONE.fullmatch(given) else None
    said = [datetime.fromisoformat(at) for at in _times(walk)]
    if not said:
        return None
    # a sitting that is gone on with may cross the change to summer time: the offset of what was said nearest counts
    if zone is None:
        return local.replace(tzinfo=min(said, key=lambda at: abs(at.replace(tzinfo=None) - local)).tzinfo)
    taken = local.replace(tzinfo=zone)
    return taken.astimezone(min(said, key=lambda at: abs(at - taken)).tzinfo)


def shown(taken: datetime, walk: Walk) -> Shown | None:
    """What a photograph taken at that time shows; None: it is not of this walkthrough."""
    moment = _moment(taken, walk)
    if moment is None:
        return None
    at, item = max(
        ((said, i) for i in walk.stands if (said := datetime.fromisoformat(_first(i, walk).at)) <= moment),
        key=lambda one: (one[0], one[1].n),
        default=(None, None),
    )
    part = item.finding.part if item else ""
    went = [(datetime.fromisoformat(when), where) for when, where in walk.went]
    since = [where for when, where in went if (at is None or at < when) and when <= moment]
    return Shown(part, item.n if item else None) if not since or since[-1] == part else Shown(since[-1], None)


def _moment(taken: datetime, walk: Walk) -> datetime | None:
    """The moment of the walkthrough that counts: its own, or just before somebody began to walk round that beginning;
    None: in neither. A sitting may be gone on with on another day: what is photographed in between is another
    instrument."""
    said = sorted(map(datetime.fromisoformat, _times(walk)))
    before = next((at for at in reversed(said) if at <= taken), None)
    after = next((at for at in said if at > taken), None)
    if before and (taken - before <= AFTER or (after and after - before <= PAUSE)):
        return taken
    return after if after and after - taken <= BEFORE else None


def span(walk: Walk) -> tuple[datetime, datetime] | None:
    """When the first and the last thing was said; None: nothing was."""
    said = sorted(map(datetime.fromisoformat, _times(walk)))
    return (said[0], said[-1]) if said else None


def _times(walk: Walk) -> list[str]:
    """Of all that stands, and of the ways to parts."""
    found = [at for i in walk.stands for at in (_first(i, walk).at, i.at)]
    return found + [r.at for r in walk.remarks if not r.withdrawn] + [at for at, part in walk.went if part]


def _first(item: Item, walk: Walk) -> Item:
    """As it was said for the first time: who grades a finding or corrects it later has photographed it before."""
    by_n = {i.n: i for i in walk.items}
    while item.replaces in by_n:
        item = by_n[item.replaces]
    return item
