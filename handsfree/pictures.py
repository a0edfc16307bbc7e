"""Which photograph shows what: by the time that the camera wrote into it, against the times of the walkthrough. Pure.

A photograph belongs to the finding that was said last when it was taken. Cameras' clocks are wrong; by how much can
be said. Where a camera wrote no offset from UTC, its clock is taken to show the time of the sitting's place.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from handsfree.nouns import Item, Walk

BEFORE = timedelta(minutes=2)
"""So long before the first finding a photograph still belongs to it."""
AFTER = timedelta(minutes=15)
"""So long after the last thing said a photograph still belongs to the walkthrough."""

_OFFSET = re.compile(r"(?P<sign>[+-])(?:(?P<h>\d+)h)?(?:(?P<m>\d+)m)?(?:(?P<s>\d+)s)?")


@dataclass(frozen=True, slots=True)
class Shown:
    """What a photograph shows."""

    part: str
    item: int | None
    """Number of the finding."""


def clock_offset(text: str) -> timedelta | None:
    """ "+1h2m30s": the camera is that much ahead, "-45s": behind; None for anything else."""
    found = _OFFSET.fullmatch(text.strip())
    if not found or not any(found[unit] for unit in "hms"):
        return None
    ahead = timedelta(hours=int(found["h"] or 0), minutes=int(found["m"] or 0), seconds=int(found["s"] or 0))
    return -ahead if found["sign"] == "-" else ahead


def taken_at(written: str, offset: str | None, sitting_opened: str, camera_ahead: timedelta) -> datetime | None:
    """When a photograph was taken, from EXIF's DateTimeOriginal ("2031:03:14 11:02:03") and OffsetTimeOriginal
    ("+01:00"); None for what is no time, such as a camera's zeros."""
    try:
        local = datetime.strptime(written.strip("\0 "), "%Y:%m:%d %H:%M:%S")
        zone = datetime.fromisoformat(f"2000-01-01T00:00:00{offset.strip(chr(0) + ' ')}").tzinfo if offset else None
    except ValueError:
        return None
    return local.replace(tzinfo=zone or datetime.fromisoformat(sitting_opened).tzinfo) - camera_ahead


def shown(taken: datetime, walk: Walk) -> Shown | None:
    """What a photograph taken at that time shows; None: it is not of this walkthrough."""
    said = sorted((_first_said(i, walk), i.n) for i in walk.stands)
    times = [at for at, _ in said] + [datetime.fromisoformat(r.at) for r in walk.remarks if not r.withdrawn]
    if not times or not min(times) - BEFORE <= taken <= max(times) + AFTER:
        return None
    item = next((n for at, n in reversed(said) if at <= taken), said[0][1] if said else None)
    part = next((i.finding.part for i in walk.stands if i.n == item), "")
    return Shown(part, item)


def _first_said(item: Item, walk: Walk) -> datetime:
    """When it was said for the first time: who grades a finding or corrects it later has photographed it before."""
    by_n = {i.n: i for i in walk.items}
    while item.replaces in by_n:
        item = by_n[item.replaces]
    return datetime.fromisoformat(item.at)
