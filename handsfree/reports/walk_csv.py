"""The walkthrough as CSV: one finding, remark or part not looked at a row. Returns bytes, like csv_out.py.

A part that nothing stands of has a row of its own with grade 0, so that it can never pass for good.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handsfree.nouns import Circumstance, Item, Remark, Sitting, Walk
from handsfree.reports.csv_out import Text, harmless, rows_as_csv
from handsfree.words import parts

WALK_COLUMNS = (
    "sitting", "instrument", "record", "n", "group", "part", "finding", "place", "grade", "standing", "replaces",
    "sureness", "at", "heard", "text", "text_by", "item", "clip",
)  # fmt: skip
RECORDS = ("finding", "remark", "not looked at")
UNKNOWN_PART = parts.Part("", (), "", "", ())


def walkthrough(walk: Walk, sitting: Sitting, *, spreadsheet_safe: bool = False) -> bytes:
    """Findings in the order in which they came, withdrawn and unsettled ones too, marked so; then the remarks that
    stand, then the parts not looked at."""
    text = harmless if spreadsheet_safe else str
    first = (str(sitting.id), text(sitting.instrument))
    rows: list[Sequence[str]] = [(*first, *_item(item, text)) for item in walk.items]
    rows += [(*first, *_remark(remark, text)) for remark in walk.remarks if not remark.withdrawn]
    rows += [(*first, *_missing(part)) for part in not_looked_at(walk) if not walk.of(part.name)]
    return rows_as_csv(WALK_COLUMNS, rows)


def not_looked_at(walk: Walk) -> tuple[parts.Part, ...]:
    """The parts of this kind of piano of which nothing is claimed, in the order of a walk round it."""
    names: Iterable[str] = parts.route(walk.noted.get(Circumstance.KIND, ""))
    return tuple(parts.BY_NAME[name] for name in names if not walk.looked_at(name))


def _item(item: Item, text: Text) -> Sequence[str]:
    finding = item.finding
    grade = "" if finding.grade is None else str(finding.grade)
    return (
        "finding", str(item.n), _group(finding.part), finding.part, finding.finding, finding.place, grade,
        item.standing.value, "" if item.replaces is None else str(item.replaces), f"{item.sureness:.4f}", item.at,
        text(item.heard_text), "", "", "", text(item.clip or ""),
    )  # fmt: skip


def _remark(remark: Remark, text: Text) -> Sequence[str]:
    return (
        "remark", str(remark.n), _group(remark.part), remark.part, "", "", "", "", "", "", remark.at, "",
        text(remark.text), remark.by, "" if remark.item is None else str(remark.item), text(remark.clip or ""),
    )  # fmt: skip


def _missing(part: parts.Part) -> Sequence[str]:
    return ("not looked at", "", part.group, part.name, "", "", "0", "", "", "", "", "", "", "", "", "")


def _group(part: str) -> str:
    return parts.BY_NAME.get(part, UNKNOWN_PART).group
