"""The descriptor that lies beside exported tables and says what every column means.

A Data Package (datapackage.json) with a Table Schema for each table, open standards both: name, type, unit,
constraints and meaning of each column, so that a table is understood without us.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, Literal

from handsfree.nouns import HIGHEST_KEY, LOWEST_KEY, Circumstance, Quantity, Sitting, Standing
from handsfree.reports.csv_out import TIDY_COLUMNS, WIDE_COLUMNS
from handsfree.reports.walk_csv import RECORDS, WALK_COLUMNS

NAME = "handsfree-readings"
Table = Literal["tidy", "wide", "walkthrough"]
Field = Mapping[str, Any]

MASS_USED_AS_FORCE = (
    "Grams of the weight laid on the key: a mass used as a force (1 g weighs 9.80665 mN at standard gravity)."
)
BEAT = "Seconds between two counts, of swings counted aloud, from the times of the words."
SURENESS = "Probability of having been heard right; 1 for what was typed."
TORQUE = (
    "A pendulum with dry friction, let fall from the release angle: cos a2 - cos a1 = mu (a1 + a2) from one turning "
    "point to the next; torque = mu x weight of the hammer x its radius. The count is taken as right to one pass."
)
STANDS = [s.value for s in (Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED)]
NOTE = {"pattern": "^[A-G]#?[0-8]$"}
KEY = {"minimum": LOWEST_KEY, "maximum": HIGHEST_KEY, "required": True}
GRAMS = {"minimum": 0, "maximum": 1000}


def _field(
    name: str,
    kind: str,
    meaning: str,
    constraints: Mapping[str, Any] | None = None,
    *,
    unit: str = "",
    form: str = "",
) -> Field:
    field: dict[str, Any] = {"name": name, "type": kind, "description": meaning}
    if kind == "boolean":
        field |= {"trueValues": ["true"], "falseValues": ["false"]}
    if unit:
        field["unit"] = unit
    if form:
        field["format"] = form
    return {**field, "constraints": dict(constraints)} if constraints else field


TIDY_FIELDS: tuple[Field, ...] = (
    _field("sitting", "integer", "Number of the sitting in its journal.", {"required": True, "minimum": 1}),
    _field("instrument", "string", "The instrument, as the technician calls it."),
    _field("n", "integer", "Number of the fact in the journal.", {"required": True, "minimum": 1}),
    _field("key", "integer", "Key number, 1 is A0, 88 is C8.", KEY),
    _field("note", "string", "Note in scientific pitch notation, black keys as sharps.", {**NOTE, "required": True}),
    _field(
        "quantity",
        "string",
        f"What was measured: the weight that just sinks the key (down), the weight that the returning key just lifts "
        f"(up), or swings of the hammer. {MASS_USED_AS_FORCE}",
        {"required": True, "enum": [q.value for q in Quantity]},
    ),
    _field("value", "number", "As said, in `unit`; empty where the key lifts no weight at all.", GRAMS),
    _field("unit", "string", "UCUM code.", {"required": True, "enum": ["g", "{swings}"]}),
    _field("no_return", "boolean", "The key lifts no weight at all.", {"required": True}),
    _field("beat_s", "number", f"{BEAT} Empty: a total said at once, or no count.", {"minimum": 0}, unit="s"),
    _field(
        "standing",
        "string",
        "What has become of the value; withdrawn and unsettled ones are in no figure.",
        {"required": True, "enum": [s.value for s in Standing]},
    ),
    _field(
        "came_as",
        "string",
        "How it came: taken at once, confirmed when asked, said as a correction, or asked about.",
        {"required": True, "enum": [*STANDS, Standing.UNSETTLED.value]},
    ),
    _field("replaces", "integer", "The `n` of the value that it took the place of."),
    _field("sureness", "number", SURENESS, {"minimum": 0, "maximum": 1}),
    _field("at", "datetime", "When it was said (RFC 3339).", {"required": True}, form="any"),
    _field("heard_n", "integer", "Number of the line that was heard in the journal."),
    _field("heard", "string", "The words heard or typed; empty: nobody said them."),
    _field("clip", "string", "Name of the file with the sound, beside the journal."),
)

WIDE_FIELDS: tuple[Field, ...] = (
    _field("key", "integer", "Key number, 1 is A0, 88 is C8.", {**KEY, "unique": True}),
    _field("note", "string", "Note in scientific pitch notation, black keys as sharps.", {**NOTE, "required": True}),
    _field("down_g", "number", f"The weight that just sinks the key. {MASS_USED_AS_FORCE}", GRAMS, unit="g"),
    _field("up_g", "number", "The weight that the returning key just lifts, grams.", GRAMS, unit="g"),
    _field("no_return", "boolean", "The key lifts no weight at all."),
    _field("friction_g", "number", "(down_g - up_g) / 2, grams.", unit="g"),
    _field("balance_g", "number", "(down_g + up_g) / 2, grams.", GRAMS, unit="g"),
    _field("swings", "number", "Swings of the hammer let fall.", {"minimum": 0}, unit="{swings}"),
    _field("swing_beat_s", "number", f"{BEAT} Empty: a total said at once.", {"minimum": 0}, unit="s"),
    _field(
        "flange_torque_low_mN_m",
        "number",
        f"Friction torque of the hammer flange, at least. {TORQUE} Empty: no hammer weighed, or no swings counted.",
        {"minimum": 0},
        unit="mN.m",
    ),
    _field(
        "flange_torque_high_mN_m",
        "number",
        "The same, at most. Empty besides: no upper end is known.",
        {"minimum": 0},
        unit="mN.m",
    ),
    *(
        _field(f"{quantity}_standing", "string", f"How the value in {column} came to stand.", {"enum": STANDS})
        for quantity, column in (("down", "down_g"), ("up", "up_g"), ("swings", "swings"))
    ),
    _field("unsettled", "boolean", "A question about this key is still open.", {"required": True}),
)

WALK_FIELDS: tuple[Field, ...] = (
    _field("sitting", "integer", "Number of the sitting in its journal.", {"required": True, "minimum": 1}),
    _field("instrument", "string", "The instrument, as the technician calls it."),
    _field(
        "record",
        "string",
        "A finding, a remark, or a part of which nothing was said.",
        {"required": True, "enum": list(RECORDS)},
    ),
    _field("n", "integer", "Number of the fact in the journal; empty: there is none.", {"minimum": 1}),
    _field("group", "string", "Where the part belongs."),
    _field("part", "string", "The part; empty: the whole instrument."),
    _field("finding", "string", "What was found of it; empty: only a grade was said."),
    _field("place", "string", "Where: a region, a note, or a stretch from note to note."),
    _field(
        "grade",
        "integer",
        "0 not looked at, 1 good, 2 light wear, 3 worn, 4 failing, 5 unsafe; empty: not graded.",
        {"minimum": 0, "maximum": 5},
    ),
    _field(
        "standing",
        "string",
        "What has become of the finding; withdrawn and unsettled ones are in no grade.",
        {"enum": [s.value for s in Standing]},
    ),
    _field("replaces", "integer", "The `n` of the finding that it took the place of."),
    _field("sureness", "number", SURENESS, {"minimum": 0, "maximum": 1}),
    _field("at", "datetime", "When it was said (RFC 3339).", form="any"),
    _field("heard", "string", "The words heard or typed."),
    _field("text", "string", "A remark's text, if it was written down."),
    _field("text_by", "string", "Who wrote it down.", {"enum": ["keyboard", "machine"]}),
    _field("item", "integer", "The `n` of the finding that a remark belongs to."),
    _field("clip", "string", "Name of the file with the sound, beside the journal."),
)

_SCHEMAS: Mapping[Table, Mapping[str, Any]] = {
    "tidy": {"fields": TIDY_FIELDS, "primaryKey": ["n", "quantity"], "missingValues": [""]},
    "wide": {"fields": WIDE_FIELDS, "primaryKey": ["key"], "missingValues": [""]},
    "walkthrough": {"fields": WALK_FIELDS, "missingValues": [""]},
}
assert tuple(f["name"] for f in TIDY_FIELDS) == TIDY_COLUMNS
assert tuple(f["name"] for f in WIDE_FIELDS) == WIDE_COLUMNS
assert tuple(f["name"] for f in WALK_FIELDS) == WALK_COLUMNS


def descriptor(
    tables: Sequence[tuple[Table, str]],
    sitting: Sitting,
    measured: Mapping[str, str] | None = None,
    noted: Mapping[Circumstance, str] | None = None,
) -> bytes:
    """The text of datapackage.json for `tables`: which table, and the name of its file in the same folder.

    `measured`: how, by name; by default the settings kept with the sitting. `noted`: of the room and the instrument.
    """
    package = {
        "name": NAME,
        "title": f"Touch weights and swings: {sitting.instrument or 'an instrument without a name'}",
        "description": "Each value was said or typed by a technician at the instrument and kept with its words.",
        "created": sitting.opened_at,
        "measured": dict(sitting.settings if measured is None else measured),
        **({"noted": {what.value: value for what, value in noted.items()}} if noted else {}),
        "resources": [_resource(table, path) for table, path in tables],
    }
    return (json.dumps(package, ensure_ascii=False, indent=2) + "\n").encode("utf-8")


def is_ours(text: bytes) -> bool:
    """Whether a descriptor that already lies there came from `descriptor`."""
    return _package(text).get("name") == NAME


def measured_in(text: bytes) -> dict[str, str]:
    """How it was measured, from a descriptor of ours; empty for any other."""
    measured = _package(text).get("measured") if is_ours(text) else None
    return {str(k): str(v) for k, v in measured.items()} if isinstance(measured, dict) else {}


def _package(text: bytes) -> Mapping[str, Any]:
    try:
        package = json.loads(text)
    except ValueError:
        return {}
    return package if isinstance(package, dict) else {}


def _resource(table: Table, path: str) -> Mapping[str, Any]:
    return {
        "name": table,
        "path": path,
        "type": "table",
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {
            "delimiter": ",",
            "quoteChar": '"',
            "doubleQuote": True,
            "lineTerminator": "\r\n",
            "header": True,
        },
        "schema": _SCHEMAS[table],
    }
