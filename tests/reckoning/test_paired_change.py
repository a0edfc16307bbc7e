"""Before and after against Student's own data, a real job on five keys, and SciPy."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from handsfree.reckoning.claims import BY_CHANCE
from handsfree.reckoning.paired import paired_difference
from handsfree.reckoning.readings import KeyReading, Method, Sitting
from handsfree.reckoning.results import Comparison, PairedDifference
from handsfree.reckoning.summary import compare
from handsfree.reckoning.worked import FLANGE_JOB
from tests.reckoning.making import check_table, read, sitting

DRUG_1 = ("0.7", "-1.6", "-0.2", "-1.2", "-0.1", "3.4", "3.7", "0.8", "0.0", "2.0")
DRUG_2 = ("1.9", "0.8", "1.1", "0.1", "-0.1", "4.4", "5.5", "1.6", "4.6", "3.4")


def pairs(first: tuple[str, ...], second: tuple[str, ...]) -> list[tuple[Decimal, Decimal]]:
    return [(Decimal(a), Decimal(b)) for a, b in zip(first, second, strict=True)]


def known(found: PairedDifference) -> tuple[float, float, float, float, float, float]:
    values = (found.mean, found.sd, found.t, found.p, found.low, found.high)
    assert all(v is not None for v in values)
    return values  # type: ignore[return-value]


def test_students_sleep_data() -> None:
    """Cushny and Peebles 1905, Student 1908: t = -4.0621, p = 0.002833; interval computed with SciPy."""
    found = paired_difference("down", pairs(DRUG_2, DRUG_1))
    mean, sd, t, p, low, high = known(found)
    assert mean == pytest.approx(-1.58)
    assert sd == pytest.approx(1.2299955, abs=1e-7)
    assert t == pytest.approx(-4.0621276834, abs=1e-9)
    assert p == pytest.approx(0.0028328902, abs=1e-9)
    assert (low, high) == pytest.approx((-2.4598858, -0.7001142), abs=1e-7)
    assert found.keys == 10
    assert found.changed


def test_the_unpaired_test_would_have_hidden_it() -> None:
    """Welch on the same columns: p = 0.0794 (published), which is why the keys are paired."""
    assert stats.ttest_ind(
        list(map(float, DRUG_1)), list(map(float, DRUG_2)), equal_var=False
    ).pvalue == pytest.approx(0.0793941, abs=1e-6)


def flange_job() -> Comparison:
    before = sitting((k, d, u) for k, d, u, _, _ in FLANGE_JOB)
    after = sitting((k, d, u) for k, _, _, d, u in FLANGE_JOB)
    return compare(before, after)


def test_a_job_on_friction_alone() -> None:
    """Five keys before and after tightening the hammer-flange bushings (technicians' list 2010, informal)."""
    made = flange_job()
    friction, balance = made.whole[2], made.whole[3]
    assert known(friction) == pytest.approx((2.8, 0.27386, 22.8619, 2.1686e-05, 2.4600, 3.1400), abs=1e-4)
    assert known(balance) == pytest.approx((1.0, 0.35355, 6.32456, 0.0031982, 0.5610, 1.4390), abs=1e-4)


def test_the_example_in_the_code_is_the_table_outside() -> None:
    rows = check_table("friction_paired_5rows.csv")
    columns = ("note", "down_before", "up_before", "down_after", "up_after")
    assert tuple(tuple(int(row[c]) for c in columns) for row in rows) == FLANGE_JOB


def test_the_geometric_mean_of_the_same_job_did_not_move() -> None:
    """Same source: sqrt(D U) moved by 0.2100, t 1.2163, p 0.29075 (exploratory): why the small shift is no claim."""
    roots = [((Decimal(d) * u).sqrt(), (Decimal(e) * v).sqrt()) for _, d, u, e, v in FLANGE_JOB]
    mean, sd, t, p, _, _ = known(paired_difference("balance", roots))
    assert (mean, sd, t, p) == pytest.approx((0.2100, 0.3860, 1.2163, 0.29075), abs=1e-4)


def test_its_small_shift_of_balance_is_not_called_a_change() -> None:
    made = flange_job()
    assert made.whole[3].changed
    assert not made.balance_changed
    assert any(c.startswith("Balance is not called changed") for c in made.conclusions)
    remarked = [k for k in made.keys if "small shift" in k.remark]
    assert [k.key for k in remarked] == [8]
    assert all(not c.changed for k in made.keys for c in k.changes if c.quantity == "balance")


def test_the_same_rule_in_the_words_for_two_instruments() -> None:
    first = sitting(((k, d, u) for k, d, u, _, _ in FLANGE_JOB), "one")
    second = sitting(((k, d, u) for k, _, _, d, u in FLANGE_JOB), "other")
    made = compare(first, second, kind="two instruments")
    assert not made.balance_changed
    assert any(c.startswith("Balance is not called different: it differs by 1 g") for c in made.conclusions)


def test_a_change_of_balance_alone_is_called_one() -> None:
    before = sitting((k, 52 + k % 3, 28 + k % 3) for k in range(1, 20))
    after = sitting((k, 47 + k % 2 + k % 3, 23 + k % 2 + k % 3) for k in range(1, 20))
    made = compare(before, after)
    assert made.balance_changed
    assert not made.whole[2].changed
    assert any(c.startswith("Balance fell by") for c in made.conclusions)


@given(
    st.lists(st.tuples(st.integers(80, 140), st.integers(80, 140)), min_size=2, max_size=88),
    st.sampled_from(["0.8", "0.95", "0.99"]),
)
def test_any_pairs_against_scipy(halves: list[tuple[int, int]], confidence: str) -> None:
    values = [(Decimal(a) / 2, Decimal(b) / 2) for a, b in halves]
    found = paired_difference("down", values, Decimal(confidence), 0.4)
    differences = [float(b - a) for a, b in values]
    if len(set(differences)) == 1:
        assert found.t is None
        assert "alike" in found.reason
        assert found.low is not None
        assert found.high is not None
        assert found.low < found.high
        return
    expected = stats.ttest_1samp(differences, 0)
    interval = expected.confidence_interval(float(confidence))
    assert known(found)[2:] == pytest.approx(
        (expected.statistic, expected.pvalue, interval.low, interval.high), rel=1e-7, abs=1e-12
    )


def test_one_key_and_no_key() -> None:
    one = paired_difference("down", pairs(("50",), ("48",)))
    assert (one.mean, one.low, one.changed) == (-2, None, False)
    assert "no interval" in one.reason
    none = paired_difference("down", [])
    assert (none.keys, none.mean) == (0, None)
    assert none.reason


def test_differences_all_alike_are_known_to_a_step_only() -> None:
    """Steps of s leave s/sqrt(12) in each reading, so sqrt(2/12) in a difference: 0.408 g at 1 g."""
    made = compare(sitting((k, 52, 28) for k in (1, 2, 3)), sitting((k, 50, 28) for k in (1, 2, 3)))
    down = made.whole[0]
    assert down.low is not None
    assert down.high is not None
    assert (down.high - down.low) / 2 == pytest.approx(stats.t.ppf(0.975, 2) * (2 / 12) ** 0.5 / 3**0.5)


def test_friction_and_balance_all_alike_are_known_to_a_step_only() -> None:
    """s/sqrt(24) in each, so sqrt(2/24) in a difference; steps of 1 and 2 g: sqrt((1 + 4)/24)."""
    rows = [(k, 52, 28) for k in (1, 2, 3)]
    made = compare(sitting(rows), sitting(rows))
    coarse = Sitting("coarse", sitting(rows).readings, (), Method(Decimal(2)))
    for found, squares in ((made, 2), (compare(sitting(rows), coarse), 5)):
        for difference in found.whole[2:4]:
            assert difference.high is not None
            assert difference.high == pytest.approx(stats.t.ppf(0.975, 2) * (squares / 24) ** 0.5 / 3**0.5)


def test_keys_in_one_only_are_listed_not_dropped() -> None:
    made = compare(sitting([(1, 52, 28), (2, 50, 26), (9, 50, 26)]), sitting([(2, 50, 26), (3, 51, 27)]))
    assert (made.only_first, made.only_second) == ((1, 9), (3,))
    assert made.whole[0].keys == 1
    text = " ".join(made.conclusions)
    assert "A0" in text
    assert "B0" in text


def test_a_key_changes_only_by_more_than_a_step() -> None:
    made = compare(sitting([(1, 52, 28), (2, 52, 28)]), sitting([(1, 51, 28), (2, 49, 28)]))
    assert made.changed_keys == (2,)
    assert made.same_keys == (1,)
    # 1.96 x sqrt(2/12) g is 0.80 g and 1.96 x sqrt(2/24) g is 0.57 g (computed), so the step itself is the limit
    assert {c.uncertainty for c in made.keys[0].changes} == {1.0}
    coarse = Method(Decimal(5))
    rough = compare(
        Sitting("a", (read(52, 28, key=2),), (), coarse), Sitting("b", (read(49, 28, key=2),), (), coarse)
    )
    assert rough.changed_keys == ()


def test_sets_of_weights_that_differ_are_named_and_widen() -> None:
    """Steps overstate friction by half a step: 1 g against 2 g shifts it by 0.5 g, balance by nothing."""
    fine, coarse = Method(Decimal(1)), Method(Decimal(2))
    made = compare(Sitting("a", (read(52, 28, key=2),), (), fine), Sitting("b", (read(54, 26, key=2),), (), coarse))
    assert any("+0.5 g" in note for note in made.notes)
    by = {c.quantity: c for c in made.keys[0].changes}
    assert by["friction"].uncertainty == pytest.approx(by["balance"].uncertainty + 0.5)


@pytest.mark.parametrize(("again", "told"), [(12, False), (10, False), (9, True), (1, True)])
def test_fewer_keys_measured_again_may_have_been_picked(again: int, told: bool) -> None:
    """Regression to the mean; from a quarter of the keys on (our choice)."""
    rows = [(k, 54, 24) for k in range(1, 13)]
    notes = compare(sitting(rows), sitting(rows[:again])).notes
    assert any("picked because they were bad" in note for note in notes) is told


def test_how_often_a_key_seems_changed_by_chance() -> None:
    """Each key is judged by four figures; down and up are normal and apart, friction and balance follow from them."""
    down, up = np.random.default_rng(20).normal(size=(2, 1_000_000))
    figures_of_it = (down, up, (down - up) / np.sqrt(2), (down + up) / np.sqrt(2))
    any_of_four = np.any([abs(f) > stats.norm.ppf(0.975) for f in figures_of_it], axis=0).mean()
    assert any_of_four / 0.05 == pytest.approx(BY_CHANCE, abs=0.03)


def test_a_key_that_did_not_return_and_now_does() -> None:
    before = Sitting("a", (KeyReading(5, Decimal(60), None, True),))
    made = compare(before, sitting([(5, 54, 24)]))
    assert made.keys[0].remark == "did not return, now does"
    assert made.whole[0].keys == 1
    assert made.whole[2].keys == 0
    back = compare(sitting([(5, 54, 24)]), before)
    assert back.keys[0].remark == "returned, now does not"


def test_sections_are_compared_apart() -> None:
    rows = range(1, 89)
    before = sitting((k, 56 if k < 30 else 50, 26) for k in rows)
    after = sitting((k, 50, 26) for k in rows)
    made = compare(before, after)
    by = {s.name: s.differences[0] for s in made.sections}
    assert (by["bass"].mean, by["middle"].mean, by["treble"].mean) == (-6, 0, 0)
    assert by["bass"].changed
    assert not by["treble"].changed


def test_few_keys_do_not_make_one_instrument_better() -> None:
    """Four keys fine against two of four: by Fisher's exact test p = 0.43 (computed with SciPy)."""
    assert stats.fisher_exact([[4, 0], [2, 2]]).pvalue == pytest.approx(0.4286, abs=1e-4)
    one = sitting(((k, 50, 26) for k in range(40, 44)), "one")
    other = sitting(((k, 64 if k % 2 else 50, 26) for k in range(40, 44)), "other")
    said = compare(one, other, kind="two instruments").conclusions
    assert any(s.startswith("Neither has the better touch") for s in said)
    # the same shares of all 88 keys leave nothing to chance
    one = sitting(((k, 50, 26) for k in range(1, 89)), "one")
    other = sitting(((k, 64 if k % 2 else 50, 26) for k in range(1, 89)), "other")
    said = compare(one, other, kind="two instruments").conclusions
    assert any(s.startswith("one has the better touch") for s in said)


def test_the_better_of_two_instruments_needs_reasons() -> None:
    light = sitting(((k, 50, 26) for k in range(1, 60)), "one")
    heavy = sitting(((k, 64, 24) for k in range(1, 60)), "other")
    said = compare(light, heavy, kind="two instruments").conclusions
    assert any(s.startswith("one has the better touch") and "This is of the touch only" in s for s in said)
    assert any("more on other than on one" in s for s in said)
    few = sitting(((k, 64 if k % 2 else 50, 26) for k in range(1, 11)), "few")
    many = sitting(((k, 64 if k % 10 == 1 else 50, 26) for k in range(1, 81)), "many")
    said = compare(few, many, kind="two instruments").conclusions
    # five of ten are a larger share than eight of eighty
    assert any(s.startswith("many has the better touch: more of its keys are fine, fewer are heavy") for s in said)
    elsewhere = sitting(((k, 64, 24) for k in range(60, 89)), "elsewhere")
    said = compare(light, elsewhere, kind="two instruments").conclusions
    assert said[-1] == "Mostly other keys were read in each, so which has the better touch is not said."
    same = compare(light, light, kind="two instruments").conclusions
    assert any(s.startswith("Neither has the better touch") for s in same)


def test_no_interval_begins_at_minus_nothing() -> None:
    one = sitting(((k, 50 + k % 2, 26) for k in range(1, 60)), "before")
    two = sitting(((k, 50 + k % 2 + (0.01 if k % 3 else -0.02), 26) for k in range(1, 60)), "after")
    assert not any("-0.0 " in said for said in compare(one, two).conclusions)


def test_what_all_keys_did_alike_is_said_where_their_mean_is_not_sure() -> None:
    """Two treated keys gained much, three hardly: made up. SciPy's interval of the mean holds zero."""
    downs = ((41, 53, 51), (42, 52.5, 51), (43, 68, 54), (44, 59, 51), (45, 54, 52))
    interval = stats.ttest_rel([b for _, _, b in downs], [a for _, a, _ in downs]).confidence_interval(0.95)
    assert interval.low < 0 < interval.high
    one = sitting(((k, a, 26) for k, a, _ in downs), "before")
    two = sitting(((k, b, 26) for k, _, b in downs), "after")
    (down, *_) = compare(one, two).conclusions
    assert down.startswith("Down weight: no difference of the mean is shown (95 %: ")
    assert down.endswith("though it fell on each of them, by 1.5 to 14 g: too unevenly to be sure of a mean.")
    uneven = sitting(((k, b + (3 if k == 45 else 0), 26) for k, _, b in downs), "after")
    assert "on each of them" not in compare(one, uneven).conclusions[0]
    assert "on each of them" not in compare(one, two, kind="two instruments").conclusions[0]


def test_no_key_in_both_is_no_change_by_chance() -> None:
    one, two = sitting([(40, 62, 20), (41, 62, 20)], "before"), sitting([(52, 50, 26)], "after")
    assert compare(one, two).notes == ()
    again = sitting([(40, 52, 26)], "after")
    assert any("picked because they were bad" in n for n in compare(one, again).notes)
