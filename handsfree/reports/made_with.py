"""What it takes to make a report again, byte for byte, as text that the page carries along.

`handsfree verify` makes the page anew from the journal with it: a figure that somebody changed in the page is found
out, not only a journal that was touched.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import ConfigDict, TypeAdapter, ValidationError

from handsfree.reckoning.comparison import Kind
from handsfree.reckoning.touch_settings import TouchSettings


@dataclass(frozen=True, slots=True)
class Made:
    """How a report was asked for."""

    sittings: tuple[int, ...]
    """One, or first and second."""
    facts: tuple[int, ...]
    """How many facts of each it was made from."""
    written_at: str
    version: str
    touch: TouchSettings
    kind: Kind = "before and after"
    details: Mapping[str, str] | None = None
    treated: tuple[str, ...] = ()
    clips: tuple[int, ...] = ()


@cache
def _adapter() -> TypeAdapter[Any]:
    return TypeAdapter(Made | None, config=ConfigDict(strict=True, extra="forbid"))


def made_to_text(made: Made) -> str:
    text: str = _adapter().dump_json(made).decode()
    return text


def made_from_text(text: str) -> Made | None:
    """None for what is none."""
    try:
        made: Made | None = _adapter().validate_json(text)
    except ValidationError:
        return None
    return made if made and len(made.sittings) == len(made.facts) in (1, 2) else None
