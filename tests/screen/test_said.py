"""The two lines: what was heard, what the tool says."""

from __future__ import annotations

import pytest

from handsfree.nouns import Amount, Context, Doubt, Outcome, Quantity, RemarkKept, Speech, Turn
from handsfree.screen.said import Last, heard_line, tool_line, trouble_lines
from handsfree.screen.styled import folded, plain


@pytest.mark.parametrize(
    ("last", "partial", "shown"),
    [
        (None, "", "heard      say a plan (“every key”), or a note and its weights; F1 helps"),
        (Last("c four fifty", "voice", 0.934), "", "heard      c four fifty   93% sure"),
        (Last("c4 50", "keyboard", 1.0), "", "typed      c4 50"),
        (Last("c4 50", "keyboard", 1.0), "d four [unk]", "hearing    d four … …"),
        (Last("[unk]", "voice", 0.9), "", "heard      talk that is no reading"),
        (Last("[unk] [unk]", "voice", 0.9), "", "heard      talk that is no reading"),
    ],
)
def test_heard_line(last: Last | None, partial: str, shown: str) -> None:
    assert plain([heard_line(last, partial, Context.TOUCH)]) == [shown]


@pytest.mark.parametrize("context", [Context.ANSWER, Context.SWINGS_ANSWER, Context.WALK_ANSWER])
def test_an_open_question_is_hinted_at(context: Context) -> None:
    assert plain([heard_line(None, "", context)])[0].startswith("heard      say or type yes, no, or ")


def test_where_the_key_is_known_its_weights_are_what_is_missing() -> None:
    assert "fifty two twenty eight" in plain([heard_line(None, "", Context.TOUCH, planned=True)])[0]


def test_a_remark_is_no_talk() -> None:
    kept = Turn(Outcome.TAKEN, (RemarkKept("dampers", 37),), "Remark kept, dampers.")
    said = heard_line(Last("[unk] [unk]", "voice", 0.9), "", Context.WALKTHROUGH, kept)
    assert plain([said]) == ["heard      a remark, kept as sound"]


AMOUNTS = (Amount(Quantity.DOWN, None),)


@pytest.mark.parametrize(
    ("turn", "shown"),
    [
        (None, "says       Going on at C four."),
        (Turn(Outcome.TAKEN, line="C four, fifty.", key=40, amounts=AMOUNTS), "taken      C four, fifty."),
        (Turn(Outcome.TAKEN, key=40, amounts=AMOUNTS), "taken      C4  no return"),
        (Turn(Outcome.TAKEN, line="Standing by."), "says       Standing by."),
        (Turn(Outcome.TAKEN, line="C four.", speech=Speech.REPLY, key=40, amounts=AMOUNTS), "says       C four."),
        (Turn(Outcome.ASKED, line="Ninety?", why="too far"), "asked      Ninety?   too far"),
        (
            Turn(Outcome.ASKED, line="C4?", why=Doubt.UNSURE.value),
            "asked      C4?   perhaps not heard rightly, or not whole",
        ),
        (Turn(Outcome.ASKED, line="One up? Up is above it.", why="no"), "asked      One up? Up is above it."),
        (Turn(Outcome.IGNORED, why="no sentence"), "ignored    no sentence"),
        (Turn(Outcome.IGNORED, line="F nine is off.", why="F nine is off."), "ignored    F nine is off."),
    ],
)
def test_tool_line(turn: Turn | None, shown: str) -> None:
    assert plain([tool_line(turn, "Going on at C four.")]) == [shown]


def test_a_trouble_is_broken_not_cut() -> None:
    message = "Not kept: the disk is full: /a/b/c. Make room and say it again."
    lines = plain(trouble_lines(message, 40, 2))
    assert len(lines) == 2
    assert " ".join(" ".join(lines).removeprefix("!").split()) == message
    assert trouble_lines("", 40, 2) == []


def test_a_trouble_too_long_for_its_lines_ends_with_a_mark() -> None:
    lines = plain(trouble_lines("word " * 40, 40, 2))
    assert len(lines) == 2
    assert lines[-1].endswith("…")


def test_a_long_answer_goes_on_in_a_second_line() -> None:
    line = "A four, fifty one down, twenty nine up? It was fifty four and a half down."
    turn = Turn(Outcome.ASKED, line=line, why=Doubt.RANGE.value)
    first, second = plain(folded(tool_line(turn, ""), 78, 2))
    assert first == "asked      A four, fifty one down, twenty nine up? It was fifty four and a"
    assert second == "           half down."
    assert len(plain(folded(tool_line(turn, ""), 78, 1))) == 1
    unsure = Turn(Outcome.ASKED, line="D sharp four, fifty four down, twenty nine up?", why=Doubt.RANGE.value)
    joined = " ".join(" ".join(plain(folded(tool_line(unsure, ""), 60, 2))).split())
    assert joined == f"asked {unsure.line} {Doubt.RANGE.value}"


def test_an_answer_too_long_for_two_lines_ends_with_a_mark() -> None:
    lines = plain(folded(tool_line(Turn(Outcome.TAKEN, line="word " * 60, speech=Speech.REPLY), ""), 40, 2))
    assert [len(one) for one in lines][1:] == [40]
    assert lines[1].endswith("…")
