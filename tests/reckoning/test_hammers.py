"""Hammers as they are typed, and the torque that follows from them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from handsfree.reckoning.hammers import hammers_of, ratio_of
from handsfree.reckoning.readings import Hammer, KeyReading, Method, Sitting
from handsfree.reckoning.summary import figures
from handsfree.reckoning.swing import torques

D = Decimal


@pytest.mark.parametrize(
    ("text", "hammers"),
    [
        ("9 g 130 mm", (Hammer(D(9), D(130)),)),
        ("9.5 grams at 130.5 mm", (Hammer(D("9.5"), D("130.5")),)),
        ("C8 6.5 g 130 mm, A0: 11g 135mm", (Hammer(D(11), D(135), 1), Hammer(D("6.5"), D(130), 88))),
        ("b flat 3 9 g 130 mm; F#4 8 g 130 mm", (Hammer(D(9), D(130), 38), Hammer(D(8), D(130), 46))),
    ],
)
def test_hammers_as_typed(text: str, hammers: tuple[Hammer, ...]) -> None:
    assert hammers_of(text) == hammers


@pytest.mark.parametrize(
    "text",
    [
        "", "nonsense", "9 130", "9 g", "130 mm", "0 g 130 mm", "9 g 0 mm", "900 g 130 mm", "9 g 13000 mm",
        "-9 g 130 mm",
        "C9 9 g 130 mm", "G#0 9 g 130 mm", "A0 9 g 130 mm, A0 8 g 130 mm", "9 g 130 mm, 8 g 130 mm",
        "9 g 130 mm, C8 6 g 130 mm", "A0 9 g 130 mm, nonsense", "A0 9 g 130 mm,",
    ],
)  # fmt: skip
def test_what_cannot_be_read_whole_is_not_read_at_all(text: str) -> None:
    assert hammers_of(text) == ()


@pytest.mark.parametrize(
    ("text", "ratio"),
    [("5", D(5)), ("5.05", D("5.05")), ("0", None), ("50", None), ("-5", None), ("five", None), ("5,1", None)],
)
def test_action_ratio_as_typed(text: str, ratio: Decimal | None) -> None:
    assert ratio_of(text) == ratio


ROUND = Sitting("made up", (KeyReading(40, swings=D(7)),), method=Method(hammers=hammers_of("10 g 130 mm")))


def test_torque_of_seven_passes() -> None:
    """Computed: energy relation and SciPy solve_ivp agree. Seven passes let mu lie in (0.085573, 0.097762]; one pass
    missed or added, six to eight, in (0.076083, 0.113993]. A hammer of 10 gf at 130 mm weighs 1300 gf mm; 1 gf mm
    is 0.00980665 mN m (standard gravity, 3rd CGPM 1901)."""
    (interval,) = torques(ROUND).values()
    assert interval.low == pytest.approx(0.076083 * 1300 * 0.00980665, abs=2e-6 * 13)
    assert interval.high == pytest.approx(0.113993 * 1300 * 0.00980665, abs=2e-6 * 13)
    (key,) = figures(ROUND).keys
    assert key.swing is not None
    assert key.swing.torque_mnm == interval


def test_no_hammer_no_torque() -> None:
    assert torques(Sitting("made up", (KeyReading(40, swings=D(7)),))) == {}
    assert torques(Sitting("made up", (KeyReading(40, down=D(50)),), method=ROUND.method)) == {}
    assert torques(Sitting("made up", (KeyReading(99, swings=D(7)),), method=ROUND.method)) == {}
