"""What a sentence comes to here: the values that it wants to stand, and the sentence with them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from decimal import Decimal

from handsfree.nouns import Quantity, Said

Value = Decimal | None
"""Grams; None: no return."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Values for one key, quantities resolved."""

    key: int
    values: tuple[tuple[Quantity, Value], ...]
    corrects: bool = False
    """They take the place of what is wrong, however far from it."""
    note_was_wrong: bool = False
    """The last reading was really this key's."""
    out_of_rhythm: bool = False
    """A count that its order or rhythm does not bear out."""
    unclear_key: bool = False
    """The note that was said before it may have been another."""
    scattered: bool = field(default=False, compare=False)
    """Its words may not all be the technician's."""
    bare: bool = field(default=False, compare=False)
    """It was one number without a name: its quantity is a conclusion."""
    borne_out: float = field(default=1.0, compare=False)
    """Probability that order and rhythm bear it out, of a count."""
    timing: float | None = field(default=None, compare=False)
    """How likely its numbers come when they did, as a natural logarithm, of a count whose times are known."""
    beat: float | None = field(default=None, compare=False)
    """Seconds between two counts, of a count that its rhythm bears out."""

    @property
    def quantities(self) -> frozenset[Quantity]:
        return frozenset(q for q, _ in self.values)

    def get(self, quantity: Quantity) -> tuple[Value] | None:
        """The value in a tuple (so that "no return" differs from "not said")."""
        return next(((v,) for q, v in self.values if q is quantity), None)

    def only(self, quantities: frozenset[Quantity]) -> Wanted:
        return replace(self, values=tuple((q, v) for q, v in self.values if q in quantities))


@dataclass(frozen=True, slots=True)
class Meaning:
    """One sentence with what it comes to here."""

    said: Said
    wanted: Wanted | None = None
    """The values, for sentences that give some."""
    otherwise: Wanted | None = None
    """The other thing it may mean."""
    refusal: str = ""
    """Why nothing can come of it, as spoken; "" = something can."""
