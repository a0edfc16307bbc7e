"""Sheet -> rows: figures exact, unsettled and withdrawn values told apart by words."""

from __future__ import annotations

from decimal import Decimal

import pytest
from scripted import asked, sheet_of, took

from handsfree.nouns import (
    Fact,
    Plan,
    PlanSet,
    PutOff,
    Quantity,
    Standing,
    Took,
    Withdrew,
)
from handsfree.screen.glance import progress_line
from handsfree.screen.rows import NO_RETURN, friction_and_balance, progress, rows
from handsfree.screen.styled import plain
from tests.reckoning.making import WORKED

BOTH = frozenset({Quantity.DOWN, Quantity.UP})


@pytest.mark.parametrize(("down", "up", "balance", "friction"), WORKED)
def test_friction_and_balance(down: str, up: str, balance: str, friction: str) -> None:
    assert friction_and_balance(Decimal(down), Decimal(up), True) == (friction, balance)


def test_up_above_down_gets_no_figure() -> None:
    # physically impossible: friction would be negative (statics of the lever)
    assert friction_and_balance(Decimal(30), Decimal(45), True) == ("", "")


def test_no_return_gives_bounds() -> None:
    # U is censored (U <= 0): F >= D/2 and B <= D/2, from the same two formulae
    assert friction_and_balance(Decimal(50), None, False) == ("≥25", "≤25")


def test_a_row_shows_what_was_said() -> None:
    row = rows(sheet_of(took(46, "52.50", "28.5")))[46]
    assert (row.note, row.down, row.up, row.standing) == ("F#4", "52.50", "28.5", "taken")
    assert (row.friction, row.balance) == ("12", "40.5")


def test_no_return_is_a_word() -> None:
    assert rows(sheet_of(took(1, "58", "no return")))[1].up == NO_RETURN


def test_a_value_in_question_carries_a_mark_and_no_figure() -> None:
    row = rows(sheet_of(asked(52, "91", "C five, ninety one down?").facts))[52]
    assert (row.down, row.friction, row.standing) == ("91?", "", "unsettled")


def test_a_standing_value_keeps_its_cell_while_another_is_in_question() -> None:
    row = rows(sheet_of((*took(52, "53", "25"), *asked(52, "91", "C five, ninety one down?").facts)))[52]
    assert (row.down, row.up, row.friction, row.standing) == ("53", "25", "14", "unsettled")


def test_a_withdrawn_reading_leaves_its_row_but_no_value() -> None:
    facts: tuple[Fact, ...] = (*took(40, "52"), Withdrew(1))
    row = rows(sheet_of(facts))[40]
    assert (row.down, row.standing) == ("", "withdrawn")


def test_the_standing_that_says_most_is_shown() -> None:
    corrected = Took(40, Quantity.UP, Decimal(27), Standing.CORRECTED, 0.9)
    assert rows(sheet_of((*took(40, "52"), corrected)))[40].standing == "corrected"


def test_rows_come_in_the_order_of_the_compass() -> None:
    assert list(rows(sheet_of((*took(70, "50"), *took(3, "55"), *took(40, "52"))))) == [3, 40, 70]


def test_progress_counts_complete_keys_of_the_plan() -> None:
    plan = PlanSet(Plan("naturals", (40, 42, 44)))
    sheet = sheet_of((plan, *took(40, "52", "28"), *took(41, "52", "28"), *took(42, "51")))
    assert progress(sheet, BOTH) == ("naturals", "1 of 3")
    assert progress(sheet, frozenset({Quantity.DOWN})) == ("naturals", "2 of 3")


def test_progress_without_a_plan() -> None:
    assert progress(sheet_of(()), BOTH) == ("", "0 keys")
    assert progress(sheet_of(took(40, "52", "28")), BOTH) == ("", "1 key")


def test_a_question_put_off_still_shows_its_value() -> None:
    question = asked(52, "91", "C five, ninety one down?").facts
    assert rows(sheet_of((*question, PutOff(1))))[52].down == "91?"


def test_a_long_plan_s_name_gives_way_to_the_numbers() -> None:
    waits = sheet_of([asked(20, "91", "E two, ninety one down?").facts[0], PutOff(1)])

    def told(columns: int) -> str:
        return "".join(plain([progress_line("naturals, down the compass", "7 of 52", waits, columns)]))

    assert told(60) == "naturals, down the compass 7 of 52   1 to settle"
    assert told(40) == "naturals, down th… 7 of 52   1 to settle"
    assert told(22) == "7 of 52   1 to settle"
