"""What stands big: where the weights go, and what became of the last thing said."""

from __future__ import annotations

from decimal import Decimal

from scripted import asked, sheet_of, taken, took

from handsfree.nouns import (
    Amount,
    Outcome,
    Plan,
    PlanSet,
    Quantity,
    Sheet,
    Standing,
    StoodBy,
    Took,
    Turn,
    Went,
    Withdrew,
)
from handsfree.screen.spotlight import Spot, last, now, spot_lines
from handsfree.screen.styled import Role, plain


def test_before_the_first_reading() -> None:
    assert now(Sheet()).word == "name a key"
    assert plain(spot_lines(last(Sheet(), None), 60, 5)) == [""]


def test_where_the_weights_go() -> None:
    sheet = sheet_of((PlanSet(Plan("every key", (46, 47))), Went(46)))
    assert (now(sheet).word, now(sheet).note) == ("now", "F#4")


def test_standing_by() -> None:
    assert now(sheet_of((Went(46), StoodBy()))).word == "standing by"


def test_what_was_taken_stands_with_both_values() -> None:
    turn = taken(40, "52.5", "28", go=41)
    spot = last(sheet_of(turn.facts), turn)
    assert (spot.word, spot.big) == ("taken", "C4 52.5 28")


def test_an_up_by_itself_comes_with_the_down_that_stands() -> None:
    turn = taken(40, None, "28")
    assert last(sheet_of((*took(40, "52"), *turn.facts)), turn).big == "C4 52 28"
    assert last(sheet_of(turn.facts), turn).big == "C4 - 28"


def test_no_return_is_written_out() -> None:
    turn = taken(40, "58", "no return")
    assert last(sheet_of(turn.facts), turn).big == "C4 58 no ret"


def test_a_question_goes_before_everything() -> None:
    turn = asked(52, "91", "C five, ninety one down?")
    spot = last(sheet_of((*took(40, "52"), *turn.facts)), turn)
    assert (spot.word, spot.big) == ("asking", "C5 91?")


def test_what_was_withdrawn_is_shown_as_such() -> None:
    turn = Turn(Outcome.WITHDRAWN, (Withdrew(1), Withdrew(2)), key=40)
    spot = last(sheet_of((*took(40, "59", "20"), *turn.facts)), turn)
    assert (spot.word, spot.big) == ("withdrawn", "C4 59 20")


def test_talk_that_is_not_for_the_tool_leaves_the_last_reading() -> None:
    corrected = Took(40, Quantity.DOWN, Decimal(53), Standing.CORRECTED, 0.9, replaces=1)
    sheet = sheet_of((*took(40, "52"), corrected))
    assert last(sheet, Turn(Outcome.IGNORED, why="no sentence")).big == "C4 53"
    assert last(sheet, None).word == "corrected"


def test_no_return_stands_big_even_where_there_is_little_room() -> None:
    turn = taken(46, "100.5", "no return")
    assert len(spot_lines(last(sheet_of(turn.facts), turn), 58, 5)) == 5


def test_swings() -> None:
    swings = Took(40, Quantity.SWINGS, Decimal("6.5"), Standing.TAKEN, 0.9)
    turn = Turn(Outcome.TAKEN, (swings,), key=40, amounts=(Amount(Quantity.SWINGS, Decimal("6.5")),))
    assert last(sheet_of((swings,)), turn).big == "C4 6.5"


BOTH = frozenset({Quantity.DOWN, Quantity.UP})


def test_the_end_of_the_plan_is_told_from_its_last_key() -> None:
    plan = PlanSet(Plan("keys C4, D4", (40, 42)))
    first, second = took(40, "52", "28"), took(42, "53", "27")
    assert now(sheet_of((plan, *first, Went(42))), BOTH).word == "now"
    assert now(sheet_of((plan, *first, *second, Went(42))), BOTH) == Spot("plan done", "D4", "", Role.GOOD)
    assert now(sheet_of((plan, *second, Went(42))), BOTH).word == "now", "C4 was left out"
    assert now(sheet_of((plan, *second, *first, Went(40))), BOTH).word == "plan done", "C4 was read last"
    assert now(sheet_of((plan, *first, *second, *first, Went(42))), BOTH).word == "now", "a second pass"
    waits = asked(40, "91", "?").facts
    assert now(sheet_of((plan, *first, *second, *waits, Went(42))), BOTH).word == "now"


def test_a_plan_that_is_set_is_no_reading() -> None:
    set_plan = Turn(Outcome.TAKEN, (Went(40),), "Octave four, from C four.", key=40)
    assert last(sheet_of(set_plan.facts), set_plan).word == ""
    assert last(sheet_of((*took(52, "50", "28"), *set_plan.facts)), set_plan).big == "C5 50 28"
