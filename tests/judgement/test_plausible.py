"""What is asked about. Worked examples of down, up, balance and friction from outside the project.

Formulae: statics, D = B + F, U = B - F, so F = (D - U)/2; F >= 0 means U <= D. Examples and ranges: common practice,
no source, unless said otherwise.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.limits import Limits
from handsfree.judgement.plausible import concern, impossible
from handsfree.judgement.wanted import Wanted
from handsfree.nouns import Doubt, Outcome, Plan, Quantity, Sheet
from handsfree.session import Session

LIMITS = Limits()
C4 = 40

WORKED = [("52", "28"), ("50", "20"), ("50", "26"), ("47", "23"), ("53", "27"), ("52.5", "24")]
"""Worked examples of technicians (informal): F = 12, 15, 12, 12, 13, 14.25."""


def values(down: str | None = None, up: str | None = None, *, no_return: bool = False, key: int = C4) -> Wanted:
    pairs: list[tuple[Quantity, Decimal | None]] = []
    if down is not None:
        pairs.append((Quantity.DOWN, Decimal(down)))
    if up is not None or no_return:
        pairs.append((Quantity.UP, None if up is None else Decimal(up)))
    return Wanted(key, tuple(pairs))


@pytest.mark.parametrize(("down", "up"), WORKED)
def test_worked_examples_are_not_asked_about(down: str, up: str) -> None:
    assert concern(values(down, up), Sheet(), LIMITS) is None


def test_swapped_entries_are() -> None:
    """D = 30, U = 45 would be F = -7.5: physically impossible."""
    found = concern(values("30", "45"), Sheet(), LIMITS)
    assert found is not None
    assert found.why is Doubt.UP_ABOVE_DOWN
    assert found.about == {Quantity.DOWN, Quantity.UP}


def test_no_friction_at_all_is_legal_but_suspicious() -> None:
    """D = U = 40: B = 40, F = 0."""
    found = concern(values("40", "40"), Sheet(), LIMITS)
    assert found is not None
    assert found.why is Doubt.RANGE


def test_no_return_is_a_finding_not_a_doubt() -> None:
    assert concern(values("50", no_return=True), Sheet(), LIMITS) is None


def test_no_friction_is_asked_about_though_the_instrument_has_little_everywhere() -> None:
    """Ten keys with 2 g (F = (D - U)/2), each confirmed: 1 g is ordinary there, none at all on no instrument."""
    session = Session(MemoryJournal())
    for key in range(30, 40):
        assert session.typed(f"key {key} 50 46").outcome in (Outcome.TAKEN, Outcome.ASKED)
        session.typed("yes")
    assert concern(values("50", "47"), session.sheet, LIMITS) is None
    found = concern(values("48", "48"), session.sheet, LIMITS)
    assert found is not None
    assert found.why is Doubt.RANGE


@pytest.mark.parametrize(("first", "then"), [("up 28", values(no_return=True)), ("no return", values(up="28"))])
def test_no_return_is_far_from_any_weight_that_was_lifted(first: str, then: Wanted) -> None:
    session = Session(MemoryJournal())
    for said in ("key 40 50", first, "yes"):
        session.typed(said)
    found = concern(then, session.sheet, LIMITS)
    assert found is not None
    assert (found.why, found.about) == (Doubt.FAR_FROM_BEFORE, {Quantity.UP})
    assert concern(values(up="28") if first == "up 28" else values(no_return=True), session.sheet, LIMITS) is None


def test_a_measured_zero_is_asked_about() -> None:
    found = concern(values("50", "0"), Sheet(), LIMITS)
    assert found is not None
    assert found.about == {Quantity.UP}


@pytest.mark.parametrize(
    ("wanted", "asked"),
    [
        (values("34.5"), True),
        (values("35"), False),
        (values("75"), False),
        (values("75.5"), True),
        (values(up="9.5"), True),
        (values(up="10"), False),
        (values(up="45"), False),
        (values(up="45.5"), True),
        (values("40", "33"), True),  # F = 3.5
        (values("40", "32"), False),  # F = 4
        (values("65", "15"), False),  # F = 25
        (values("65", "14"), True),  # F = 25.5
    ],
)
def test_query_limits_at_their_edges(wanted: Wanted, asked: bool) -> None:
    """Down 35-75 g, up 10-45 g, friction 4-25 g: common practice, no source; to ask by, not to judge by."""
    assert (concern(wanted, Sheet(), LIMITS) is not None) == asked


@pytest.mark.parametrize(
    ("wanted", "cannot"),
    [
        (values("0"), True),
        (values("0.5"), False),
        (values("150"), False),
        (values("150.5"), True),
        (values(up="0"), False),
        (values(up="200"), True),
        (values("50", no_return=True), False),
    ],
)
def test_what_cannot_stand_at_all(wanted: Wanted, cannot: bool) -> None:
    """0 < D <= 150, 0 <= U: our own proposal of hard limits."""
    assert impossible(wanted, LIMITS) == cannot


PAIRED = [(3, (56, 34), (60, 32)), (4, (55, 28), (59, 26)), (6, (55, 35), (59, 33)), (8, (54, 32), (58, 31)),
          (9, (54, 34), (57, 32))]  # fmt: skip
"""Key number, (down, up) before and after one job at the hammer flange: five keys that a technician published
(informal)."""


def test_real_keys_before_and_after() -> None:
    """Real readings raise no question; the second round at the same keys does, since each lies grams away."""
    session = Session(MemoryJournal())
    session.set_plan(Plan("some", tuple(key for key, _, _ in PAIRED)))
    for _, (down, up), _ in PAIRED:
        assert session.typed(f"{down} {up}").outcome is Outcome.TAKEN
    for key, _, (down, _) in PAIRED:
        turn = session.typed(f"key {key} down {down}")
        assert turn.outcome is Outcome.ASKED
        assert turn.why == Doubt.FAR_FROM_BEFORE
        session.typed("yes")
    assert session.sheet.column(Quantity.DOWN) == {key: Decimal(after[0]) for key, _, after in PAIRED}


@pytest.mark.parametrize(("second", "asked"), [("53.5", False), ("50.5", False), ("54", True), ("50", True)])
def test_repeat_limit(second: str, asked: bool) -> None:
    """1.5 g, three half-gram steps: our own choice."""
    session = Session(MemoryJournal())
    session.typed("c4 52 28")
    assert (session.typed(f"c4 {second} 28").outcome is Outcome.ASKED) == asked
    repeats = [(a.value, b.value) for a, b in session.sheet.repeats() if a.quantity is Quantity.DOWN]
    assert repeats == ([] if asked else [(Decimal(52), Decimal(second))])
