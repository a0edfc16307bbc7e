"""Any of the results as plain values for JSON: grams read stay exact as text, what is not known is null."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from math import isfinite

Plain = dict[str, "Plain"] | list["Plain"] | str | int | float | bool | None


def plain(value: object) -> Plain:
    """Dataclasses by their field names, Decimal as text ("52.5"), enumerations by what they read."""
    if isinstance(value, Enum):
        return plain(value.value)
    if value is None or isinstance(value, (bool, int, str)):
        return value
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, float):
        return value if isfinite(value) else None
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    raise TypeError(f"no plain form of {type(value).__name__}")
