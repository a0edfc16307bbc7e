"""All settings as a settings file: what each means, and what is in force; what is not set is a comment.

The meanings are those that stand beside the fields themselves, so that there is one place to write them.
"""

from __future__ import annotations

import ast
import inspect
import json
import textwrap
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import pairwise
from typing import Literal, get_args, get_origin

from handsfree.judgement.limits import Limits, Range
from handsfree.opening import limits_of
from handsfree.reckoning.touch_settings import Section, TouchSettings
from handsfree.settings import JudgementTable, Settings, TouchTable

WIDE = 100
HEAD = """What handsfree goes by. A setting behind "#" is not set and stands as it is in force; take the "#" away to
set it."""
TABLES = ("judgement", "touch")


def page(settings: Settings) -> str:
    """A file that sets what `settings` sets; with every "#" before a name taken away, what is in force."""
    lines = [*_comment(HEAD), ""]
    meaning = meanings(Settings)
    for name, field in Settings.model_fields.items():
        if name not in TABLES:
            told = f"{meaning[name]}{_choices(field.annotation)}"
            lines += _setting(name, getattr(settings, name), told, set_=name in settings.model_fields_set)
    limits, touch = limits_of(settings), TouchSettings()
    lines += ["[judgement]", *_comment("When to ask."), ""]
    meaning = meanings(Limits)
    for name in JudgementTable.model_fields:
        own = name.removesuffix("_g")
        lines += _setting(
            name, getattr(limits, own), meaning[own], set_=getattr(settings.judgement, name) is not None
        )
    lines += ["[touch]", *_comment("The touch wanted."), ""]
    meaning = meanings(TouchSettings)
    for name in TouchTable.model_fields:
        own = getattr(settings.touch, name)
        lines += _setting(name, getattr(touch, name) if own is None else own, meaning[name], set_=own is not None)
    return "\n".join(lines).rstrip() + "\n"


def meanings(of: type) -> dict[str, str]:
    """Field -> the docstring below it."""
    (body,) = ast.parse(textwrap.dedent(inspect.getsource(of))).body
    assert isinstance(body, ast.ClassDef)
    return {
        field.target.id: " ".join(told.value.value.split())
        for field, told in pairwise(body.body)
        if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name)
        and isinstance(told, ast.Expr) and isinstance(told.value, ast.Constant) and isinstance(told.value.value, str)
    }  # fmt: skip


def _setting(name: str, value: object, meaning: str, *, set_: bool) -> Iterator[str]:
    yield from _comment(meaning)
    sign = "" if set_ else "#"
    if name == "sections":
        yield f"{sign}[touch.sections]"
        yield from (f"{sign}{_quoted(one)} = {ends}" for one, ends in _sections(value))
    else:
        yield f"{sign}{name} = {_value(value)}"
    yield ""


def _choices(annotation: object) -> str:
    """Of a setting that is one of a few words."""
    words = get_args(annotation) if get_origin(annotation) is Literal else ()
    return f" One of: {', '.join(map(_quoted, words))}." if words else ""


def _comment(text: str) -> list[str]:
    return textwrap.wrap(" ".join(text.split()), WIDE, initial_indent="# ", subsequent_indent="# ")


def _sections(value: object) -> Iterator[tuple[str, list[int]]]:
    if isinstance(value, Mapping):
        yield from value.items()
    elif isinstance(value, tuple):
        yield from ((s.name, [s.first, s.last]) for s in value if isinstance(s, Section))


def _value(value: object) -> str:
    """As TOML has it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, Range):
        return f"[{value.low:f}, {value.high:f}]"
    return str(value) if isinstance(value, int) else _quoted(str(value))


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
