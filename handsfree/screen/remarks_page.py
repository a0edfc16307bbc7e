"""The page of remarks: what each belongs to and says, which is chosen, and the places that it can be put at. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from handsfree.nouns import Remark, Walk
from handsfree.screen.styled import Line, Piece, Role, fitted, wrapped
from handsfree.words.remark_places import Place, belongs_to, places, standing, words_of

HOW = "Say “remark” in the walkthrough, and in the same breath what there is to say: it is kept as sound."
_CHOSEN = {True: Piece("> ", Role.ASK), False: Piece("  ")}


@dataclass(frozen=True, slots=True)
class Desk:
    """What is chosen on the page."""

    remark: int = 0
    """Number of a remark; one that is none stands for the newest."""
    placing: bool = False
    """A place is being chosen for it."""
    place: int = 0
    """Which of `places`, while placing."""

    def at(self, walk: Walk) -> Remark | None:
        """The chosen remark, None where there are none."""
        there = standing(walk)
        return next((r for r in there if r.n == self.remark), there[-1] if there else None)

    def place_at(self, walk: Walk) -> Place:
        there = places(walk)
        return there[min(self.place, len(there) - 1)]

    def moved(self, way: int, walk: Walk) -> Desk:
        """One down (1) or up (-1) in the list that is looked at; it ends at its ends."""
        if self.placing:
            return replace(self, place=min(max(self.place + way, 0), len(places(walk)) - 1))
        there = [remark.n for remark in standing(walk)]
        if not there:
            return self
        chosen = self.at(walk)
        at = there.index(chosen.n) if chosen else 0
        return replace(self, remark=there[min(max(at + way, 0), len(there) - 1)])


def invitation(desk: Desk, walk: Walk) -> str:
    """What stands in the empty typed line."""
    remark = desk.at(walk)
    if remark is None:
        return "no remark yet: Esc goes back"
    if desk.placing:
        return "Enter puts it at the place chosen; or type the name of a part; Esc leaves it"
    return f"type what remark {remark.n} says, then Enter"


def remarks_lines(desk: Desk, walk: Walk, columns: int) -> list[Line]:
    remark = desk.at(walk)
    if remark is None:
        return [(Piece("No remarks", Role.STRONG),), *((Piece(f"  {part}"),) for part in wrapped(HOW, columns - 2))]
    return _places(desk, remark, walk, columns) if desk.placing else _list(remark, walk, columns)


def _list(chosen: Remark, walk: Walk, columns: int) -> list[Line]:
    there = standing(walk)
    unwritten = sum(not remark.text for remark in there)
    head = f"{len(there)} remark{'s' * (len(there) > 1)}" + (f", {unwritten} not written down" if unwritten else "")
    lines: list[Line] = [fitted((Piece(head, Role.STRONG), Piece("   ↑ ↓ choose", Role.FAINT)), columns)]
    for remark in there:
        here = remark.n == chosen.n
        about = f"{remark.n:>4}  {remark.at[11:16]}  {belongs_to(remark, walk)}"
        lines.append(fitted((_CHOSEN[here], Piece(about, Role.STRONG if here else Role.PLAIN)), columns))
        role = Role.PLAIN if remark.by == "keyboard" else Role.FAINT
        lead = Piece(" " * _indent(columns))
        lines += [fitted((lead, Piece(part, role)), columns) for part in _words(remark, columns)]
    return lines


def _indent(columns: int) -> int:
    return 15 if columns >= 50 else 4


def _words(remark: Remark, columns: int) -> list[str]:
    return wrapped(words_of(remark), max(columns - _indent(columns), 10))


def _places(desk: Desk, remark: Remark, walk: Walk, columns: int) -> list[Line]:
    head = f"Put remark {remark.n} where? It is at: {belongs_to(remark, walk)}"
    lines: list[Line] = [fitted((Piece(head, Role.STRONG), Piece("   ↑ ↓ choose", Role.FAINT)), columns)]
    there: Sequence[Place] = places(walk)
    chosen = desk.place_at(walk)
    for place in there:
        here = place == chosen
        number = "" if place.item is None else str(place.item)
        text = Piece(f"{number:>4}  {place.name}", Role.STRONG if here else Role.PLAIN)
        lines.append(fitted((_CHOSEN[here], text), columns))
    return lines


def chosen_line(desk: Desk, walk: Walk, columns: int) -> int:
    """Which line must be in view."""
    if desk.placing:
        return 1 + places(walk).index(desk.place_at(walk))
    remark, line = desk.at(walk), 1
    for other in standing(walk):
        if remark is not None and other.n == remark.n:
            break
        line += 1 + len(_words(other, columns))
    return line
