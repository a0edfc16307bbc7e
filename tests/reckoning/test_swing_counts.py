"""From a count to friction: both definitions of a swing, halves, the eye's limit, torque."""

from __future__ import annotations

from decimal import Decimal
from math import pi, radians

import pytest

from handsfree.reckoning.leverage import torque_at_key
from handsfree.reckoning.pendulum import greatest_mu, turning_angles
from handsfree.reckoning.readings import Hammer, KeyReading, Method, Sitting, SwingDefinition
from handsfree.reckoning.results import Flange, Interval, SwingFigures
from handsfree.reckoning.summary import compare, figures
from handsfree.reckoning.swing import GF_MM_IN_MN_M, passes_of
from tests.reckoning.making import MIDDLE_C, one, read

PASS, TO_AND_FRO = SwingDefinition.PASS, SwingDefinition.TO_AND_FRO


def swung(count: float | str, method: Method | None = None, key: int = MIDDLE_C) -> SwingFigures:
    found = one(read(None, None, count, key), method).swing
    assert found is not None
    return found


def ends(interval: Interval | None) -> tuple[float, float | None]:
    assert interval is not None
    return interval.low, interval.high


# computed: what a spoken count means under either definition, from 90 degrees
SPOKEN = [
    (4, (0.136667, 0.170548), (0.068487, 0.085573)),
    (5, (0.113993, 0.136667), (0.057085, 0.068487)),
    (6, (0.097762, 0.113993), (0.048937, 0.057085)),
    (7, (0.085573, 0.097762), (0.042824, 0.048937)),
    (8, (0.076083, 0.085573), (0.038068, 0.042824)),
]


@pytest.mark.parametrize(("count", "as_passes", "as_to_and_fro"), SPOKEN)
def test_both_definitions(count: int, as_passes: tuple[float, float], as_to_and_fro: tuple[float, float]) -> None:
    assert ends(swung(count).mu) == pytest.approx(as_passes, abs=2e-6)
    assert ends(swung(count, Method(swing=TO_AND_FRO)).mu) == pytest.approx(as_to_and_fro, abs=2e-6)


@pytest.mark.parametrize(
    ("count", "definition", "passes"),
    [
        ("6", PASS, (6, 6)),
        ("6", TO_AND_FRO, (12, 13)),
        ("6.5", TO_AND_FRO, (13, 13)),
        ("6.5", PASS, (6, 7)),
        ("0", PASS, (0, 0)),
        ("0", TO_AND_FRO, (0, 1)),
    ],
)
def test_passes_of_a_count(count: str, definition: SwingDefinition, passes: tuple[int, int]) -> None:
    """Halves are meaningful to and fro (six and a half is 13 passes); half a pass is said to be none."""
    assert passes_of(Decimal(count), definition) == passes
    assert ("half a pass" in swung(count, Method(swing=definition)).note) == (count == "6.5" and definition is PASS)


def test_the_eye_is_allowed_one_pass() -> None:
    swing = swung(7)
    assert ends(swing.mu_eye) == pytest.approx((0.076083, 0.113993), abs=2e-6)
    assert ends(swung(0).mu_eye)[1] is None
    assert ends(swung(1).mu_eye)[1] is None


@pytest.mark.parametrize(
    ("mu", "seen"), [(0.04, (17, 16, 16, 14)), (0.05, (13, 13, 12, 11)), (0.08, (8, 8, 8, 7)), (0.10, (6, 6, 6, 5))]
)
def test_one_pass_is_what_an_eye_that_misses_five_degrees_needs(mu: float, seen: tuple[int, ...]) -> None:
    """Computed: passes with a turning angle above 0, 2, 5, 10 degrees. Counts up to 5 degrees keep mu inside."""
    angles = turning_angles(pi / 2, mu)
    counts = tuple(sum(1 for a in angles if a > radians(limit)) for limit in (0, 2, 5, 10))
    assert counts == seen
    for count in counts[:3]:
        low, high = ends(swung(count).mu_eye)
        assert high is not None
        assert low < mu <= high


# computed: weight in gf, radius in mm -> weight torque, and its greatest friction torque for 4, 5, 6, 8, 10 passes
TORQUES = [
    ("11", 1430, 14.0235, (243.9, 195.4, 163.0, 122.4, 97.9)),
    ("10", 1300, 12.7486, (221.7, 177.7, 148.2, 111.2, 89.0)),
    ("8", 1040, 10.1989, (177.4, 142.1, 118.6, 89.0, 71.2)),
    ("6", 780, 7.6492, (133.0, 106.6, 88.9, 66.7, 53.4)),
]


@pytest.mark.parametrize(("weight", "moment", "moment_mnm", "limits"), TORQUES)
def test_torque_of_a_weighed_hammer(weight: str, moment: float, moment_mnm: float, limits: tuple[float, ...]) -> None:
    assert moment * GF_MM_IN_MN_M == pytest.approx(moment_mnm, abs=1e-4)
    method = Method(hammers=(Hammer(Decimal(weight), Decimal(130)),))
    for passes, limit in zip((4, 5, 6, 8, 10), limits, strict=True):
        # the eye's interval of one pass more ends where the count itself does
        high = ends(swung(passes + 1, method).torque)[1]
        assert high == pytest.approx(limit, abs=0.06)
        assert greatest_mu(passes, 90.0) * moment == pytest.approx(limit, abs=0.06)
        assert high is not None
        assert ends(swung(passes + 1, method).torque_mnm)[1] == pytest.approx(high * 9.80665e-3, rel=1e-12)


def test_a_flanges_torque_at_the_key() -> None:
    """Statics: 100 gf mm, 130 mm, ratio 5 make 3.846 gf."""
    assert torque_at_key(100, 130, 5) == pytest.approx(3.846, abs=5e-4)
    swing = swung(6, Method(hammers=(Hammer(Decimal(10), Decimal(130)),), action_ratio=Decimal(5)))
    assert swing.torque is not None
    assert ends(swing.at_key)[0] == pytest.approx(torque_at_key(swing.torque.low, 130, 5))


def test_equal_counts_of_a_lighter_hammer_are_less_torque() -> None:
    """Torque goes with hammer weight times radius, so a count alone says nothing across the compass."""
    hammers = (Hammer(Decimal(11), Decimal(130), 1), Hammer(Decimal(6), Decimal(130), 88))
    method = Method(hammers=hammers)
    bass, middle, treble = (swung(7, method, key) for key in (1, 44, 88))
    assert bass.mu == middle.mu == treble.mu
    assert ends(bass.torque)[0] > ends(middle.torque)[0] > ends(treble.torque)[0]
    assert ends(bass.torque)[0] / ends(treble.torque)[0] == pytest.approx(11 / 6)


def test_one_hammer_for_all_keys_is_said_to_forbid_the_comparison() -> None:
    made = figures(Sitting("", (read(None, None, 7),), (), Method(hammers=(Hammer(Decimal(9), Decimal(130)),))))
    assert any("cannot be compared" in note for note in made.notes)


def test_no_hammer_no_torque_no_angle_no_mu() -> None:
    assert swung(7).torque is None
    odd = swung(7, Method(release_angle=Decimal(175)))
    assert odd.mu is None
    assert "175 degrees" in odd.note
    assert odd.flange is Flange.FREE


@pytest.mark.parametrize(
    ("count", "flange"), [(0, Flange.SEIZED), (3, Flange.TIGHT), (7, Flange.FREE), (14, Flange.LOOSE)]
)
def test_flange_states(count: int, flange: Flange) -> None:
    """About 7 wanted and not more, 0 far too tight: common practice, no source."""
    assert swung(count).flange is flange


def test_counts_of_different_definitions_are_not_compared() -> None:
    first = Sitting("a", (KeyReading(1, swings=Decimal(6)), KeyReading(2, swings=Decimal(6))))
    second = Sitting("b", first.readings, (), Method(swing=TO_AND_FRO))
    made = compare(first, second)
    assert made.whole[4].keys == 0
    assert any("not compared" in note for note in made.notes)
    assert compare(first, first).whole[4].keys == 2
