"""What is wrong with a settings file, in words for whoever wrote it; the checker speaks of inputs and instances."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from handsfree.errors import BadSettings

Context = Mapping[str, Any]

_NUMBER = "it should be a number, without quotes"
_TEXT = "it should be text in quotes"
_SAID: Mapping[str, Callable[[Context], str]] = {
    "is_instance_of": lambda _: _NUMBER,
    "float_type": lambda _: _NUMBER,
    "decimal_type": lambda _: _NUMBER,
    "int_type": lambda _: "it should be a whole number, without quotes",
    "bool_type": lambda _: "it should be true or false, without quotes",
    "string_type": lambda _: _TEXT,
    "list_type": lambda _: "it should be two numbers such as [35, 75]",
    "too_short": lambda about: f"it should hold {about['min_length']} numbers",
    "too_long": lambda about: f"it should hold {about['max_length']} numbers",
    "greater_than": lambda about: f"it should be greater than {about['gt']}",
    "greater_than_equal": lambda about: f"it should be at least {about['ge']}",
    "less_than": lambda about: f"it should be less than {about['lt']}",
    "less_than_equal": lambda about: f"it should be at most {about['le']}",
    "finite_number": lambda _: "it should be a number that ends somewhere",
    "literal_error": lambda about: f"it should be {about['expected']}",
    "model_type": lambda _: "it is a table, on a line of its own in square brackets, with its settings below",
    "dict_type": lambda _: "it is a table, on a line of its own in square brackets, with its settings below",
    "value_error": lambda about: str(about["error"]),
}
"""Kind of error -> what should be there; a kind that is not here says it in the checker's words."""


def fault(error: ValidationError, name: str, tables: Mapping[str, type[BaseModel]]) -> BadSettings:
    """The first thing that is wrong. `name`: of the file; `tables`: by name, the file itself under ""."""
    first = error.errors()[0]
    key = ".".join(str(part) for part in first["loc"])
    if first["type"] == "extra_forbidden":
        return _unknown(key, name, tables.get(key.partition(".")[0], tables[""]).model_fields)
    if first["type"] == "value_error" and isinstance(first["input"], dict):  # settings that contradict each other
        return BadSettings(f"{name}: in [{key}], {_what(first)}", do="Change one of them.")
    written = _written(first["input"])
    return BadSettings(f"{name}: {key} = {written} will not do: {_what(first)}", do="Change that line.")


def _unknown(key: str, name: str, known: Iterable[str]) -> BadSettings:
    near = get_close_matches(key.rpartition(".")[2], list(known), 1)
    do = f"Did you mean {near[0]}? There are {', '.join(known)}." if near else f"There are {', '.join(known)}."
    return BadSettings(f"{name}: there is no setting {key!r}", do=do)


def _what(first: ErrorDetails) -> str:
    said = _SAID.get(first["type"])
    return said(first.get("ctx", {})) if said else first["msg"].replace("Input", "it", 1)


def _written(value: object) -> str:
    """As it stands in the file."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_written, value))}]"
    return f'"{value}"' if isinstance(value, str) else str(value)
