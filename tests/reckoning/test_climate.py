"""Climate against printed tables; sources beside each check."""

from __future__ import annotations

from decimal import Decimal

import pytest

from handsfree.nouns import Circumstance, noted_words, number_noted
from handsfree.reckoning.climate import (
    climate,
    climate_sentences,
    dew_point,
    history_sentences,
    vapour_pressure,
    warning,
    wood_moisture,
)


@pytest.mark.parametrize(("humidity", "moisture"), [
    (20, 4.51), (30, 6.19), (40, 7.72), (42, 8.03), (45, 8.49), (50, 9.27), (55, 10.10), (60, 11.00), (65, 12.00),
    (70, 13.13), (80, 16.04),
])  # fmt: skip
def test_wood_moisture_at_20_degrees(humidity: int, moisture: float) -> None:
    # equation of the USDA Wood Handbook (Hailwood-Horrobin), worked out apart from this program
    assert wood_moisture(20, humidity) == pytest.approx(moisture, abs=0.01)


@pytest.mark.parametrize(("humidity", "moisture"), [(20, 4.49), (40, 7.70), (60, 10.97), (80, 15.99)])
def test_wood_moisture_at_70_fahrenheit(humidity: int, moisture: float) -> None:
    # the same equation at 21.1 degrees Celsius; the handbook's table prints 12.0 % at 21.1 degrees and 65 %
    assert wood_moisture(21.1, humidity) == pytest.approx(moisture, abs=0.01)


def test_wood_moisture_of_the_handbooks_table() -> None:
    # USDA Wood Handbook, table of equilibrium moisture content: 70 degrees Fahrenheit, 65 % -> 12.0 %
    assert wood_moisture(21.1, 65) == pytest.approx(12.0, abs=0.05)


@pytest.mark.parametrize(("temperature", "humidity", "dew"), [(20, 50, 9.255), (25, 60, 16.693)])
def test_dew_point(temperature: float, humidity: float, dew: float) -> None:
    # Magnus with 17.62 and 243.12 (from memory), worked out apart from this program
    assert dew_point(temperature, humidity) == pytest.approx(dew, abs=0.001)


@pytest.mark.parametrize("temperature", [-5.0, 0.0, 18.0, 30.0])
@pytest.mark.parametrize("humidity", [5.0, 42.0, 99.0])
def test_at_the_dew_point_the_air_is_full(temperature: float, humidity: float) -> None:
    # definition: at the dew point the same water vapour saturates the air
    dew = dew_point(temperature, humidity)
    assert vapour_pressure(dew, 100) == pytest.approx(vapour_pressure(temperature, humidity))
    assert dew <= temperature


def test_saturated_vapour_pressure_at_20_degrees() -> None:
    # steam tables: 23.39 hPa at 20 degrees Celsius (from memory); Magnus is good to some tenths of a per cent
    assert vapour_pressure(20, 100) == pytest.approx(23.39, rel=0.005)


@pytest.mark.parametrize("humidity", [0, -1, 101])
def test_no_such_humidity(humidity: float) -> None:
    with pytest.raises(ValueError, match="relative humidity"):
        dew_point(20, humidity)


@pytest.mark.parametrize(("humidity", "begins"), [
    ("24", "Much too dry"),  # below 25 % splitting even in a short time: a published environmental standard
    ("25", "Dry"), ("39.5", "Dry"),  # 40 to 60 % advised: common practice, no source
    ("40", ""), ("55", ""), ("60", ""),
    ("61", "Damp"), ("75", "Damp"),
    ("76", "Much too damp"),  # weeks above 75 %: mould, the same standard
])  # fmt: skip
def test_warnings(humidity: str, begins: str) -> None:
    said = warning(Decimal(humidity))
    assert said.startswith(begins)
    assert bool(said) is bool(begins)


def test_pianos_are_kept_at_6_to_10_per_cent_moisture() -> None:
    # published lecture notes: 6 to 10 % for pianos; 42 to 50 % humidity often advised (common practice) lies within
    assert "below the 6 to 10" in " ".join(climate_sentences(Decimal(20), Decimal(28)))
    assert "within the 6 to 10" in " ".join(climate_sentences(Decimal(20), Decimal(45)))
    assert "above the 6 to 10" in " ".join(climate_sentences(Decimal(20), Decimal(58)))


def test_what_an_instrument_has_been_through() -> None:
    # moisture at 20 C and 20, 30, 60 and 80 %: 4.51, 6.19, 11.00, 16.04 (Wood Handbook's formula, CHECKS 9.2)
    dry, damp, wood = history_sentences((Decimal(80), Decimal(20)), Decimal(20))
    assert dry.startswith("Much too dry at 20 per cent")
    assert damp.startswith("Much too damp at 80 per cent")
    assert "between 4.5 and 16.0" in wood
    assert len(history_sentences((Decimal(30), Decimal(60)), Decimal(20))) == 2
    assert history_sentences((Decimal(40), Decimal(60)), None) == (
        "Wood left in either comes to between 7.7 and 11.0 per cent moisture.",
    )


@pytest.mark.parametrize(("fahrenheit", "celsius"), [
    (30, "-1.1"), (40, "4.4"), (50, "10"), (60, "15.6"), (70, "21.1"), (80, "26.7"), (90, "32.2"), (100, "37.8"),
])  # fmt: skip
def test_degrees_fahrenheit(fahrenheit: int, celsius: str) -> None:
    # the temperatures that head the rows of the USDA Wood Handbook's moisture table, in both units (from memory)
    said = {Circumstance.TEMPERATURE: f"{fahrenheit} °F"}
    assert number_noted(said, Circumstance.TEMPERATURE) == Decimal(celsius)


def test_a_dew_point_is_said_in_the_unit_of_the_room() -> None:
    # 21.1 C and 45 %: 8.70 C or 47.7 F, Magnus with 17.62 and 243.12 (from memory), worked out apart from it
    room = Decimal("21.1"), Decimal(45)
    assert "Dew point 8.7 degrees Celsius" in " ".join(climate_sentences(*room))
    assert "Dew point 48 degrees Fahrenheit" in " ".join(climate_sentences(*room, fahrenheit=True))


def test_a_temperature_is_shown_as_it_was_said() -> None:
    shown = [noted_words(Circumstance.TEMPERATURE, value) for value in ("21.5", "21.5 °C", "70 °F")]
    assert shown == ["21.5 °C", "21.5 °C", "70 °F (21.1 °C)"]
    assert number_noted({Circumstance.TEMPERATURE: "21.5 °C"}, Circumstance.TEMPERATURE) == Decimal("21.5")
    assert noted_words(Circumstance.HUMIDITY, "45") == "45 %"
    assert noted_words(Circumstance.PLACE, "21 Garden Row") == "21 Garden Row"


def test_nothing_is_made_up() -> None:
    assert climate(Decimal(20), None) is None
    assert climate_sentences(None, None) == ()
    assert "no dew point" in " ".join(climate_sentences(None, Decimal(45)))
