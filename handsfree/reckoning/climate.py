"""What temperature and humidity of a room mean for a piano: dew point, moisture of its wood, and when to warn.

Dew point after Magnus (coefficients 17.62 and 243.12 degrees Celsius, over water). Equilibrium moisture content of
wood after Hailwood and Horrobin, as the USDA Wood Handbook prints it (form for degrees Celsius). Wood of usual kinds
comes to this moisture when it is left in such air for weeks; a varnished case or a felt bushing needs its own time.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import exp, log

SPLITTING = Decimal(25)
"""Per cent relative humidity below which wood and veneer may split even in a short time (a museum's standard)."""
MOULD = Decimal(75)
"""Per cent above which weeks bring mould (the same standard)."""
WOOD_LOW, WOOD_HIGH = 6.0, 10.0
"""Per cent moisture of the wood within which pianos are kept (published lecture notes)."""
ADVISED = (Decimal(40), Decimal(60))
"""Per cent relative humidity generally advised; common practice, no source."""
REFERENCE = Decimal(20)
"""Degrees Celsius taken where the room's temperature was not said."""


@dataclass(frozen=True, slots=True)
class Climate:
    temperature: Decimal
    """Degrees Celsius."""
    humidity: Decimal
    """Per cent relative humidity."""
    dew_point: float
    """Degrees Celsius."""
    wood_moisture: float
    """Per cent of dry mass, at equilibrium."""


def dew_point(temperature: float, humidity: float) -> float:
    """Degrees Celsius, from degrees Celsius and per cent (above 0)."""
    if not 0 < humidity <= 100:
        raise ValueError(f"a relative humidity is above 0 and at most 100 per cent, not {humidity}")
    gamma = log(humidity / 100) + 17.62 * temperature / (243.12 + temperature)
    return 243.12 * gamma / (17.62 - gamma)


def vapour_pressure(temperature: float, humidity: float) -> float:
    """Hectopascal of water vapour in the air (Magnus, 6.112 hPa at 0 degrees)."""
    return humidity / 100 * 6.112 * exp(17.62 * temperature / (243.12 + temperature))


def wood_moisture(temperature: float, humidity: float) -> float:
    """Equilibrium moisture content, per cent of dry mass, from degrees Celsius and per cent relative humidity."""
    if not 0 <= humidity <= 100:
        raise ValueError(f"a relative humidity is 0 to 100 per cent, not {humidity}")
    t, h = temperature, humidity / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    hydrate = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (kh / (1 - kh) + hydrate)


def climate(temperature: Decimal | None, humidity: Decimal | None) -> Climate | None:
    """None without a humidity; without a temperature that of REFERENCE is taken (the wood hardly minds)."""
    if humidity is None or humidity <= 0:
        return None
    t = temperature if temperature is not None else REFERENCE
    return Climate(t, humidity, dew_point(float(t), float(humidity)), wood_moisture(float(t), float(humidity)))


def warning(humidity: Decimal) -> str:
    """Too dry or too damp, and what that does; "" when it is neither."""
    found = _trouble(humidity)
    return f"{found[0]}: {found[1]}." if found else ""


def _trouble(humidity: Decimal) -> tuple[str, str] | None:
    """What it is, and what it does."""
    if humidity < SPLITTING:
        return "Much too dry", "wood and veneer can split, even in a short time"
    if humidity < ADVISED[0]:
        return "Dry", "wood shrinks, flanges and tuning pins can come loose"
    if humidity > MOULD:
        return "Much too damp", "weeks of this bring mould, and steel rusts"
    if humidity > ADVISED[1]:
        return "Damp", "felt and cloth swell, flanges and key bushings get tight"
    return None


def _degrees(celsius: float, fahrenheit: bool) -> str:
    return f"{celsius * 9 / 5 + 32:.0f} degrees Fahrenheit" if fahrenheit else f"{celsius:.1f} degrees Celsius"


def climate_sentences(
    temperature: Decimal | None, humidity: Decimal | None, *, fahrenheit: bool = False
) -> tuple[str, ...]:
    """What to say of a room, the warning first; empty without a humidity. `temperature` in degrees Celsius in any
    case; `fahrenheit`: how to say one."""
    now = climate(temperature, humidity)
    if now is None:
        return ()
    kept = f"the {WOOD_LOW:.0f} to {WOOD_HIGH:.0f} per cent that pianos are kept at"
    moisture = f"Wood left in this air comes to {now.wood_moisture:.1f} per cent moisture"
    if now.wood_moisture < WOOD_LOW:
        moisture += f", below {kept}: flanges get loose."
    elif now.wood_moisture > WOOD_HIGH:
        moisture += f", above {kept}: felt and flanges get tight."
    else:
        moisture += f", within {kept}."
    dew = (
        f"Dew point {_degrees(now.dew_point, fahrenheit)}: anything colder than that gets wet in this room."
        if temperature is not None
        else "The temperature was not said: no dew point."
    )
    meaning = "Friction and swings move with the humidity: compare them only with readings from a like climate."
    return tuple(filter(None, (warning(now.humidity), moisture, dew, meaning)))


def history_sentences(humidities: tuple[Decimal, Decimal], temperature: Decimal | None) -> tuple[str, ...]:
    """What to say of the driest and the dampest air (per cent) that an instrument has been in, warnings first."""
    driest, dampest = min(humidities), max(humidities)
    said = [f"{found[0]} at {h:f} per cent: {found[1]}." for h in (driest, dampest) if (found := _trouble(h))]
    ends = [now for h in (driest, dampest) if (now := climate(temperature, h)) is not None]
    if len(ends) == 2:
        low, high = (f"{now.wood_moisture:.1f}" for now in ends)
        said.append(f"Wood left in either comes to between {low} and {high} per cent moisture.")
    return tuple(said)
