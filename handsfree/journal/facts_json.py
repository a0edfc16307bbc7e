"""Facts and alternatives as JSON text and back: the border between the nouns and the disk.

Strict both ways: an unknown kind, a missing or an extra field, a number in the wrong clothes is an error, never a
guess. Grams are written as text ("52.5"), as they were said.
"""

from __future__ import annotations

from typing import Any

from pydantic import ConfigDict, TypeAdapter

from handsfree.nouns import (
    Alternative,
    Asked,
    Fact,
    FindingAsked,
    FindingTook,
    Led,
    Noted,
    PassSet,
    PlanSet,
    PutOff,
    RemarkAwaited,
    RemarkKept,
    RemarkPlaced,
    RemarkTyped,
    Settled,
    StoodBy,
    Took,
    Went,
    WentAhead,
    WentTo,
    Withdrew,
)

KINDS: dict[str, type[Fact]] = {
    "took": Took,
    "withdrew": Withdrew,
    "asked": Asked,
    "settled": Settled,
    "put off": PutOff,
    "plan set": PlanSet,
    "pass set": PassSet,
    "went": Went,
    "stood by": StoodBy,
    "went ahead": WentAhead,
    "finding took": FindingTook,
    "finding asked": FindingAsked,
    "went to": WentTo,
    "led": Led,
    "remark awaited": RemarkAwaited,
    "remark kept": RemarkKept,
    "remark typed": RemarkTyped,
    "remark placed": RemarkPlaced,
    "noted": Noted,
}
"""What stands in the column `kind`, and the noun it is."""

_NAMES = {noun: kind for kind, noun in KINDS.items()}
_STRICT = ConfigDict(strict=True, extra="forbid")


def _adapter(noun: Any) -> TypeAdapter[Any]:
    # "| None", because pydantic takes a config from outside only for a type that cannot carry its own
    return TypeAdapter(noun | None, config=_STRICT)


_BODIES = {kind: _adapter(noun) for kind, noun in KINDS.items()}
_ALTERNATIVES = TypeAdapter(tuple[Alternative, ...], config=_STRICT)


def fact_to_json(fact: Fact) -> tuple[str, str]:
    """`(kind, body)`; raises ValueError for what would not come back as it went, such as grams without end."""
    kind = _NAMES[type(fact)]
    body = _BODIES[kind].dump_json(fact).decode()
    if fact_from_json(kind, body) != fact:
        raise ValueError(f"{fact} does not survive the disk")
    return kind, body


def fact_from_json(kind: str, body: str) -> Fact:
    """Raises ValueError (pydantic's is one) for what is no fact."""
    if kind not in _BODIES:
        raise ValueError(f"unknown kind of fact {kind!r}")
    fact: Fact | None = _BODIES[kind].validate_json(body)
    if fact is None:
        raise ValueError(f"empty fact of kind {kind!r}")
    return fact


def alternatives_to_json(alternatives: tuple[Alternative, ...]) -> str:
    return _ALTERNATIVES.dump_json(alternatives).decode()


def alternatives_from_json(text: str) -> tuple[Alternative, ...]:
    """Raises ValueError for what are no alternatives; there is always one."""
    alternatives = _ALTERNATIVES.validate_json(text)
    if not alternatives:
        raise ValueError("no alternatives")
    return alternatives
