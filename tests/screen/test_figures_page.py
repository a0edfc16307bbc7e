"""The figures page says all that was worked out, at any width; the figures themselves are tested in reckoning."""

from __future__ import annotations

from decimal import Decimal

import pytest

from handsfree.reckoning.readings import KeyReading, Sitting
from handsfree.reckoning.results import Figures
from handsfree.reckoning.summary import figures
from handsfree.screen.figures_page import figures_lines
from handsfree.screen.styled import plain


def made_up() -> Figures:
    """Ten keys: fine ones, two with high friction and few swings, one heavy, one that does not return."""
    readings = [KeyReading(key, Decimal(51), Decimal(27), swings=Decimal(7)) for key in range(40, 46)]
    readings += [KeyReading(key, Decimal(62), Decimal(22), swings=Decimal(1)) for key in (46, 47)]
    readings += [KeyReading(48, Decimal(66), Decimal(44), swings=Decimal(7))]
    readings += [KeyReading(49, Decimal(58), no_return=True)]
    return figures(Sitting("made up", tuple(readings)))


def test_every_verdict_stands_with_its_reason() -> None:
    worked_out = made_up()
    page = " ".join("\n".join(plain(figures_lines(worked_out, 120))).split())
    for key in worked_out.keys:
        assert key.note in page
        assert " ".join(key.why.split()) in page
        assert key.verdict.value in page


def test_every_treatment_stands_with_its_cautions() -> None:
    worked_out = made_up()
    assert worked_out.treatments
    page = " ".join("\n".join(plain(figures_lines(worked_out, 100))).split())
    for n, treatment in enumerate(worked_out.treatments, start=1):
        assert f"{n}. {treatment.what}" in page
        for caution in treatment.cautions:
            assert " ".join(caution.split()) in page
    assert " ".join(worked_out.evenness.sentence.split()) in page


def test_a_bound_is_marked_as_one() -> None:
    (row,) = [line for line in plain(figures_lines(made_up(), 100)) if line.startswith("A4 ")]
    assert "≥29" in row
    assert "≤29" in row


@pytest.mark.parametrize("columns", [50, 78, 198])
def test_it_keeps_to_its_width(columns: int) -> None:
    assert max(map(len, plain(figures_lines(made_up(), columns)))) <= columns


def test_the_key_read_last_stands_first() -> None:
    first = plain(figures_lines(made_up(), 100, latest=49))[0]
    assert first == "A4: friction"


def test_nothing_read_yet() -> None:
    assert plain(figures_lines(figures(Sitting("made up")), 78))[0] == "No figures yet"
