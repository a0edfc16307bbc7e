"""Times as a reader far away can read them; the exact one stays in the element's `datetime`."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from handsfree.reports.markup import Markup, tag


def _parsed(at: str) -> datetime | None:
    try:
        return datetime.fromisoformat(at)
    except ValueError:
        return None


def zone(at: str) -> str:
    """ "UTC+02:00", "UTC"; "" where there is none."""
    parsed = _parsed(at)
    if parsed is None or parsed.tzinfo is None:
        return ""
    offset = parsed.isoformat()[-6:]
    return "UTC" if offset == "+00:00" else f"UTC{offset}"


def stamp(at: str) -> Markup:
    """ "2031-05-06, 09:01 UTC+02:00"."""
    parsed = _parsed(at)
    shown = at if parsed is None else f"{parsed:%Y-%m-%d, %H:%M} {zone(at)}".strip()
    return tag("time", shown, datetime=at if parsed else None)


def ends(times: Iterable[str]) -> tuple[str, str] | None:
    """The first and the last of those that are times with an offset."""
    known = [(parsed, at) for at in times if (parsed := _parsed(at)) and parsed.tzinfo]
    return (min(known)[1], max(known)[1]) if known else None


def one_day(times: Iterable[str]) -> str:
    """ "2031-05-06, UTC+02:00" if all are of it, else ""."""
    days = {f"{p:%Y-%m-%d}, {zone(at)}" if (p := _parsed(at)) else at for at in times}
    return days.pop() if len(days) == 1 else ""


def clock(at: str, day: str) -> Markup:
    """The time alone where `day` says the rest, else date, time and offset."""
    parsed = _parsed(at)
    if parsed is None:
        return tag("time", at)
    shown = f"{parsed:%H:%M:%S}" if day else f"{parsed:%Y-%m-%d %H:%M:%S} {zone(at)}".strip()
    return tag("time", shown, datetime=at)
