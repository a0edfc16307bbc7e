"""Meanings in one short line, for the case files: "Reading key=46 down=52 up=28"."""

from __future__ import annotations

from pathlib import Path

from handsfree import nouns
from handsfree.nouns import Amount, Context, Said

HERE = Path(__file__).parent


def shown(said: Said) -> str:
    match said:
        case nouns.Reading(key, amounts) | nouns.Correction(key, amounts):
            place = [] if key is None else [f"key={key}"]
            return " ".join([type(said).__name__, *place, *map(_amount, amounts)])
        case nouns.GoTo(key) | nouns.Same(key) | nouns.ReadBack(key):
            return type(said).__name__ + ("" if key is None else f" key={key}")
        case nouns.Move(way):
            return f"Move {way}"
        case nouns.Answer(yes):
            return "Answer yes" if yes else "Answer no"
        case nouns.PlanWanted(plan):
            return f"PlanWanted {plan.name} ({len(plan.keys)} keys from {plan.keys[:1]})"
        case nouns.OffKeyboard(name):
            return f"OffKeyboard {name}"
        case nouns.Puzzle(_, why):
            return f"Puzzle {why}"
        case _:
            return type(said).__name__


def _amount(amount: Amount) -> str:
    name = "bare" if amount.quantity is None else amount.quantity.value
    return f"{name}={'none' if amount.value is None else amount.value}"


def cases(file: str) -> list[tuple[Context, str, str]]:
    """Lines "text => meaning" under headings "[context]"; "#" begins a comment."""
    context, found = Context.TOUCH, []
    for line in (HERE / file).read_text(encoding="utf-8").splitlines():
        text = line.partition("  #")[0].strip()
        if text.startswith("[") and text.endswith("]"):
            context = Context(text[1:-1])
        elif text and not text.startswith("#"):
            said, _, meaning = text.partition("=>")
            found.append((context, said.strip(), meaning.strip()))
    return found
