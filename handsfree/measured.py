"""From the sheet of a sitting to what the figures are worked out from.

The one bridge between the journal's nouns and the reckoning room, which knows neither sheets nor journals.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from handsfree.nouns import Entry, Quantity, Sheet
from handsfree.nouns import Sitting as JournalSitting
from handsfree.reckoning.readings import KeyReading, Method, Sitting, SwingDefinition
from handsfree.reckoning.touch_settings import Section, TouchSettings

if TYPE_CHECKING:
    from handsfree.settings import Settings

SWING_DEFINITIONS = {"one way": SwingDefinition.PASS, "to and fro": SwingDefinition.TO_AND_FRO}
"""Setting -> what counts as one swing."""


def method_of(settings: Mapping[str, str]) -> Method:
    """How a sitting was measured, from the settings stored with it; what is not stored is as usual."""
    usual = Method()
    return Method(
        weight_step=_decimal(settings.get("weight_step_g"), usual.weight_step),
        release_angle=_decimal(settings.get("release_angle_deg"), usual.release_angle),
        swing=SWING_DEFINITIONS.get(settings.get("swing", ""), usual.swing),
    )


def touch_of(settings: Settings) -> TouchSettings:
    """The touch wanted: what the settings file says, everything else as usual."""
    wanted = settings.touch.model_dump(exclude_none=True)
    if "sections" in wanted:
        wanted["sections"] = tuple(Section(name, *ends) for name, ends in wanted["sections"].items())
    return replace(TouchSettings(), **wanted)


def measured(sheet: Sheet, sitting: JournalSitting | None = None, label: str = "") -> Sitting:
    """The standing values of a sheet, with earlier measurements of the same keys as repeats.

    Unsettled and withdrawn values are in no figure. `label`: what the sitting is called; by default its instrument.
    """
    keys = sorted({key for key, _ in sheet.standing})
    return Sitting(
        label or (sitting.instrument if sitting else ""),
        tuple(_standing(sheet, key) for key in keys),
        tuple(_repeat(earlier) for earlier, _ in sheet.repeats()),
        method_of(sitting.settings if sitting else {}),
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
