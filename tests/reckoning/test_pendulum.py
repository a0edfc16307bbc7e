"""The energy relation of a hammer let fall, against tables made with SciPy's ODE solver and the solver itself."""

from __future__ import annotations

from math import cos, degrees, exp, gamma, pi, radians, sin, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, special

from handsfree.reckoning.pendulum import greatest_mu, passes, turning_angles
from tests.reckoning.making import check_table

RIGHT_ANGLE = pi / 2

# computed: root of the energy relation and SciPy solve_ivp agree (DOP853, rtol 1e-11)
PASSES_TO_MU = [
    (1, 0.336382, 0.636620),
    (2, 0.226576, 0.336382),
    (3, 0.170548, 0.226576),
    (4, 0.136667, 0.170548),
    (5, 0.113993, 0.136667),
    (6, 0.097762, 0.113993),
    (7, 0.085573, 0.097762),
    (8, 0.076083, 0.085573),
    (9, 0.068487, 0.076083),
    (10, 0.062269, 0.068487),
    (11, 0.057085, 0.062269),
    (12, 0.052698, 0.057085),
    (13, 0.048937, 0.052698),
    (14, 0.045677, 0.048937),
    (15, 0.042824, 0.045677),
    (16, 0.040306, 0.042824),
]

# the same, turning angles in degrees: mu, passes, the first ones, the last one (negative: short of the bottom)
TURNING = [
    (0.02, 34, (86.468, 83.063, 79.769, 76.574, 73.467, 70.440), 0.612),
    (0.03, 22, (84.750, 79.768, 75.008, 70.437, 66.028, 61.758), -0.541),
    (0.04, 17, (83.061, 76.570, 70.434, 64.586, 58.975, 53.560), 0.597),
    (0.05, 13, (81.398, 73.458, 66.019, 58.969, 52.227, 45.731), -1.707),
    (0.06, 11, (79.760, 70.425, 61.742, 53.546, 45.723, 38.187), 2.865),
    (0.08, 8, (76.553, 64.559, 53.526, 43.159, 33.263, 23.696), -4.051),
    (0.1, 6, (73.427, 58.921, 45.671, 33.230, 21.305, 9.685), -1.803),
    (0.12, 5, (70.374, 53.469, 38.092, 23.614, 9.634, -4.155), -4.155),
    (0.15, 4, (65.910, 45.571, 27.094, 9.540, -7.714), -7.714),
    (0.2, 3, (58.725, 32.949, 9.336), 9.336),
    (0.25, 2, (51.783, 20.751, -8.263), -8.263),
    (0.3, 2, (45.014, 8.740), 8.740),
    (0.4, 1, (31.773, -15.551), -15.551),
    (0.5, 1, (18.604,), 18.604),
    (0.6, 1, (5.113,), 5.113),
    (0.7, 0, (-9.202,), -9.202),
]

# computed likewise, from other release angles: greatest mu for 1, 2, 3, 4, 5, 6, 8, 10 passes
OTHER_RELEASES = {
    30: (0.25587, 0.12868, 0.08588, 0.06443, 0.05155, 0.04296, 0.03223, 0.02578),
    45: (0.37292, 0.18892, 0.12625, 0.09477, 0.07584, 0.06322, 0.04742, 0.03794),
    60: (0.47746, 0.24444, 0.16367, 0.12294, 0.09842, 0.08205, 0.06156, 0.04926),
    80: (0.59183, 0.30892, 0.20760, 0.15614, 0.12507, 0.10430, 0.07828, 0.06264),
    85: (0.61532, 0.32308, 0.21735, 0.16354, 0.13102, 0.10927, 0.08202, 0.06564),
    90: (0.63662, 0.33638, 0.22658, 0.17055, 0.13667, 0.11399, 0.08557, 0.06849),
}


@pytest.mark.parametrize(("count", "low", "high"), PASSES_TO_MU)
def test_mu_range_of_a_count_from_a_right_angle(count: int, low: float, high: float) -> None:
    assert greatest_mu(count, 90.0) == pytest.approx(high, abs=2e-6)
    assert greatest_mu(count + 1, 90.0) == pytest.approx(low, abs=2e-6)


def test_mu_ranges_against_the_table_of_twenty_passes() -> None:
    rows = check_table("swing_thresholds_90deg.csv")
    assert len(rows) == 20
    for row in rows:
        assert greatest_mu(int(row["passes"]), 90.0) == pytest.approx(float(row["mu_max_inclusive"]), abs=2e-6)


@pytest.mark.parametrize(("mu", "count", "first", "last"), TURNING)
def test_turning_angles(mu: float, count: int, first: tuple[float, ...], last: float) -> None:
    angles = [degrees(a) for a in turning_angles(RIGHT_ANGLE, mu)]
    assert angles[: len(first)] == pytest.approx(first, abs=1e-3)
    assert angles[-1] == pytest.approx(last, abs=1e-3)
    assert passes(RIGHT_ANGLE, mu) == count


def test_turning_angles_against_the_whole_table() -> None:
    for row in check_table("swing_amplitudes_90deg.csv"):
        expected = [
            float(v)
            for v in row["amplitudes_deg_semicolon_separated (negative = stopped before the bottom)"].split(";")
        ]
        angles = [90.0, *(degrees(a) for a in turning_angles(RIGHT_ANGLE, float(row["mu"])))]
        assert angles == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize("release", OTHER_RELEASES)
def test_other_release_angles(release: int) -> None:
    found = [greatest_mu(n, float(release)) for n in (1, 2, 3, 4, 5, 6, 8, 10)]
    assert found == pytest.approx(OTHER_RELEASES[release], abs=6e-6)


def test_a_release_at_80_read_off_the_table_of_90_overstates_mu() -> None:
    """Computed likewise: by 9.3 % at six passes."""
    assert greatest_mu(6, 90.0) / greatest_mu(6, 80.0) == pytest.approx(1.093, abs=5e-4)


def test_many_passes_approach_the_sine_integral() -> None:
    """n mu -> Si(a0)/2; SciPy's sine integral, Si(pi/2) = 1.3707621681544884."""
    si = float(special.sici(RIGHT_ANGLE)[0])
    assert si == pytest.approx(1.3707621681544884, rel=1e-14)
    # mu falls between n and n + 1 passes: the middle of the two follows the limit closely
    mid = (greatest_mu(300, 90.0) + greatest_mu(301, 90.0)) / 2
    assert mid * 300.0 == pytest.approx(si / 2, rel=2e-3)


def test_small_angles_lose_two_mu_a_pass() -> None:
    """Coulomb damping of a linear oscillator: x1 - x2 = 2 F/k (textbooks); computed for a0 = 0.1, mu = 0.004."""
    angles = turning_angles(0.1, 0.004)
    assert angles[:3] == pytest.approx((0.091988, 0.083977, 0.075969), abs=1e-6)
    assert passes(0.1, 0.004) == 12
    assert angles[11] == pytest.approx(0.003944, abs=1e-6)
    assert [0.1 - angles[0], angles[0] - angles[1]] == pytest.approx([0.008, 0.008], rel=2e-3)


# ------------------------------------------------------------------ the equation of motion itself


def swing_once(mu: float, zeta: float, start: float) -> tuple[float, float]:
    """One pass of theta'' = -sin theta - mu sgn theta' - 2 zeta theta' from rest: (turning angle, duration)."""

    def motion(_: float, state: np.ndarray) -> list[float]:
        # falling from the positive side: the velocity is negative until the next turning point
        return [state[1], -sin(state[0]) + mu - 2 * zeta * state[1]]

    def turns(t: float, state: np.ndarray) -> float:
        return float(state[1]) if t > 1e-6 else -1.0

    turns.terminal = True  # type: ignore[attr-defined]
    turns.direction = 1  # type: ignore[attr-defined]
    done = integrate.solve_ivp(motion, (0, 100), [start, 0.0], "DOP853", events=turns, rtol=1e-11, atol=1e-13)
    return -float(done.y_events[0][0][0]), float(done.t_events[0][0])


def solved(mu: float, zeta: float, release: float) -> list[tuple[float, float]]:
    """Turning angles and durations until |sin a| <= mu, by SciPy's solver."""
    found: list[tuple[float, float]] = []
    angle = release
    while angle > 0 and sin(angle) > mu and len(found) < 60:
        angle, duration = swing_once(mu, zeta, angle)
        found.append((angle, duration))
    return found


@pytest.mark.parametrize("index", range(30))
def test_energy_relation_against_scipys_solver(index: int) -> None:
    """30 random mu and release angles."""
    chance = np.random.default_rng(1000 + index)
    mu, release = float(chance.uniform(0.03, 0.65)), radians(float(chance.uniform(40, 120)))
    expected = [a for a, _ in solved(mu, 0.0, release)]
    assert turning_angles(release, mu) == pytest.approx(expected, abs=1e-8)


@pytest.mark.parametrize("index", range(10))
def test_count_changes_where_the_solver_says_so(index: int) -> None:
    """A hair below the greatest mu the solver passes the bottom that often, a hair above once less."""
    chance = np.random.default_rng(2000 + index)
    count, release = int(chance.integers(1, 15)), float(chance.uniform(30, 120))
    mu = greatest_mu(count, release)

    def solver_passes(value: float) -> int:
        return sum(1 for a, _ in solved(value, 0.0, radians(release)) if a >= 0)

    assert solver_passes(mu * (1 - 1e-6)) == count
    assert solver_passes(mu * (1 + 1e-6)) == count - 1


@pytest.mark.parametrize(
    ("release", "ratio"),
    [
        (5, 1.000476172486),
        (10, 1.001907188143),
        (20, 1.007669025792),
        (30, 1.017408797596),
        (45, 1.039973343197),
        (60, 1.073182007149),
        (75, 1.118959038631),
        (90, 1.180340599016),
        (120, 1.372880500618),
        (150, 1.762203729504),
        (170, 2.439362719674),
    ],
)
def test_the_solver_used_here_knows_the_period_of_a_pendulum(release: int, ratio: float) -> None:
    """T/T0 = (2/pi) K(sin(a0/2)) (from memory; 90 degrees also in public pendulum tables): the check of the check."""
    assert 2 / pi * special.ellipk(sin(radians(release) / 2) ** 2) == pytest.approx(ratio, abs=1e-11)
    assert swing_once(0.0, 0.0, radians(release))[1] / pi == pytest.approx(ratio, rel=1e-8)


def test_the_period_from_a_right_angle_in_closed_form() -> None:
    assert gamma(0.25) ** 2 / (2 * pi**1.5) == pytest.approx(1.180340599016, abs=1e-11)


def test_the_solver_used_here_gives_the_known_durations() -> None:
    """Computed: with mu = 0.10 from 90 degrees, in units of T0/2."""
    found = [t / pi for _, t in solved(0.10, 0.0, RIGHT_ANGLE)]
    assert found[:7] == pytest.approx((1.1517, 1.0953, 1.0585, 1.0336, 1.0172, 1.0072, 1.0028), abs=6e-5)


@pytest.mark.parametrize(
    ("zeta", "angles"),
    [
        (0.01, (86.253, 82.757, 79.479, 76.396, 73.487, 70.735)),
        (0.02, (82.754, 76.392, 70.729, 65.638, 61.027, 56.824)),
        (0.05, (73.447, 60.979, 51.119, 43.112, 36.502, 30.988)),
        (0.10, (60.808, 42.922, 30.811, 22.289, 16.187, 11.778)),
    ],
)
def test_the_solver_used_here_knows_viscous_friction(zeta: float, angles: tuple[float, ...]) -> None:
    """Computed; near rest each pass shrinks by exp(-pi zeta / sqrt(1 - zeta^2))."""
    found = [degrees(a) for a, _ in solved(0.0, zeta, RIGHT_ANGLE)]
    assert found[:6] == pytest.approx(angles, abs=1e-3)
    small = [swing_once(0.0, zeta, 0.001)[0] / 0.001][0]
    assert small == pytest.approx(exp(-pi * zeta / sqrt(1 - zeta**2)), rel=1e-5)


def test_drag_of_the_air_makes_the_dry_figure_an_upper_one() -> None:
    """The limit of the model: mu 0.05 with drag 0.01 makes 11 passes, not 13, so mu read from 11 is too high."""
    mixed = [degrees(a) for a, _ in solved(0.05, 0.01, RIGHT_ANGLE)]
    assert mixed[:11] == pytest.approx(
        (78.073, 67.646, 58.282, 49.716, 41.775, 34.339, 27.318, 20.646, 14.270, 8.147, 2.244), abs=1e-3
    )
    assert sum(1 for a in mixed if a >= 0) == 11
    assert greatest_mu(12, 90.0) > 0.05


# ------------------------------------------------------------------ properties


@given(st.floats(0.005, 0.99), st.floats(10, 130))
def test_energy_is_conserved_at_every_turn(mu: float, release: float) -> None:
    before = radians(release)
    for after in turning_angles(before, mu):
        assert cos(after) - cos(before) == pytest.approx(mu * (before + after), abs=1e-12)
        assert after < before
        before = after


@given(st.floats(0.01, 0.7), st.floats(0.01, 0.7), st.floats(10, 130))
def test_more_friction_never_means_more_passes(one: float, other: float, release: float) -> None:
    low, high = sorted((one, other))
    assert passes(radians(release), low) >= passes(radians(release), high)


@given(st.integers(1, 60), st.floats(10, 130))
def test_the_greatest_mu_is_the_edge(count: int, release: float) -> None:
    mu = greatest_mu(count, release)
    assert passes(radians(release), mu * (1 - 1e-9)) == count
    assert passes(radians(release), mu * (1 + 1e-9)) == count - 1
