"""From the sheet of a sitting to what the figures are worked out from.

The one bridge between the journal's nouns and the reckoning room, which knows neither sheets nor journals.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from handsfree.nouns import Circumstance, Entry, Quantity, Sheet
from handsfree.nouns import Sitting as JournalSitting
from handsfree.reckoning.comparison import Kind
from handsfree.reckoning.hammers import hammers_of, ratio_of
from handsfree.reckoning.readings import KeyReading, Method, Sitting, SwingDefinition
from handsfree.reckoning.touch_settings import Section, TouchSettings

if TYPE_CHECKING:
    from handsfree.settings import Settings

SWING_DEFINITIONS = {"one way": SwingDefinition.PASS, "to and fro": SwingDefinition.TO_AND_FRO}
"""Setting -> what counts as one swing."""

NOTHING_NOTED: Mapping[Circumstance, str] = {}
KEPT_AS = {Circumstance.HAMMERS: "hammer_weights", Circumstance.RATIO: "action_ratio"}
"""What is noted of the method -> its name among the settings that travel with a table."""


def method_kept(sitting: JournalSitting, noted: Mapping[Circumstance, str]) -> dict[str, str]:
    """How a sitting was measured, as text: the settings stored with it, and what was noted since."""
    return {**sitting.settings, **{name: noted[what] for what, name in KEPT_AS.items() if what in noted}}


def named(sitting: JournalSitting, noted: Mapping[Circumstance, str]) -> JournalSitting:
    """With the name of the instrument that was noted at it, where it was opened without one."""
    return replace(sitting, instrument=sitting.instrument or noted.get(Circumstance.INSTRUMENT, ""))


def kind_between(first: str, second: str, asked: bool | None = None) -> Kind:
    """How two sittings are compared, by the names of their instruments ("" = not known). `asked`: whether the person
    says that they are two instruments; None: not said, so two names are."""
    two = bool(first and second and first.casefold() != second.casefold()) if asked is None else asked
    return "two instruments" if two else "before and after"


def method_of(settings: Mapping[str, str]) -> Method:
    """How a sitting was measured, from `method_kept`; what is not said is as usual."""
    usual = Method()
    return Method(
        weight_step=_decimal(settings.get("weight_step_g"), usual.weight_step),
        release_angle=_decimal(settings.get("release_angle_deg"), usual.release_angle),
        swing=SWING_DEFINITIONS.get(settings.get("swing", ""), usual.swing),
        hammers=hammers_of(settings.get(KEPT_AS[Circumstance.HAMMERS], "")),
        action_ratio=ratio_of(settings.get(KEPT_AS[Circumstance.RATIO], "")),
    )


def touch_of(settings: Settings) -> TouchSettings:
    """The touch wanted: what the settings file says, everything else as usual."""
    wanted = settings.touch.model_dump(exclude_none=True)
    if "sections" in wanted:
        wanted["sections"] = tuple(Section(name, *ends) for name, ends in wanted["sections"].items())
    return replace(TouchSettings(), **wanted)


def measured(
    sheet: Sheet,
    sitting: JournalSitting | None = None,
    label: str = "",
    noted: Mapping[Circumstance, str] = NOTHING_NOTED,
) -> Sitting:
    """The standing values of a sheet, with earlier measurements of the same keys as repeats.

    Unsettled and withdrawn values are in no figure. `label`: what the sitting is called; by default its instrument.
    `noted`: what was noted of the sitting, hammers that were weighed among it.
    """
    keys = sorted({key for key, _ in sheet.standing})
    return Sitting(
        label or (sitting.instrument if sitting else ""),
        tuple(_standing(sheet, key) for key in keys),
        tuple(_repeat(earlier) for earlier, _ in sheet.repeats()),
        method_of(method_kept(sitting, noted) if sitting else {}),
        len({e.key for e in sheet.repeats_confirmed() if e.quantity is not Quantity.SWINGS}),
        tuple(sheet.beats().values()),
    )


def _standing(sheet: Sheet, key: int) -> KeyReading:
    values = {quantity: sheet.standing.get((key, quantity)) for quantity in Quantity}
    up = values[Quantity.UP]
    return KeyReading(
        key,
        down=_value(values[Quantity.DOWN]),
        up=_value(up),
        no_return=up is not None and up.value is None,
        swings=_value(values[Quantity.SWINGS]),
    )


def _repeat(entry: Entry) -> KeyReading:
    return KeyReading(
        entry.key,
        down=entry.value if entry.quantity is Quantity.DOWN else None,
        up=entry.value if entry.quantity is Quantity.UP else None,
        no_return=entry.quantity is Quantity.UP and entry.value is None,
        swings=entry.value if entry.quantity is Quantity.SWINGS else None,
    )


def _value(entry: Entry | None) -> Decimal | None:
    return entry.value if entry else None


def _decimal(text: str | None, usual: Decimal) -> Decimal:
    try:
        return Decimal(text) if text else usual
    except InvalidOperation:
        return usual
