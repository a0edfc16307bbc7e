"""From down, up, balance, friction and swings together to one verdict, with the sentences that say why.

The truth table follows from D = B + F and U = B - F: friction moves D and U apart, weight or leverage moves both up.
Whether weight is at fault is asked so: would the key still be too heavy if its friction were at the target?
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from handsfree.reckoning.compass import grams
from handsfree.reckoning.readings import KeyReading
from handsfree.reckoning.results import Bound, Flange, Heaviness, SwingFigures, Verdict, Weighed
from handsfree.reckoning.touch import returns, statics
from handsfree.reckoning.touch_settings import TouchSettings

FRICTION_INVOLVED = frozenset({Verdict.FRICTION, Verdict.BOTH})
WEIGHT_INVOLVED = frozenset({Verdict.WEIGHT, Verdict.BOTH})


@dataclass(frozen=True, slots=True)
class Finding:
    verdict: Verdict
    why: str
    expected_down: Decimal | None = None


def heaviness(down: Decimal, settings: TouchSettings) -> Heaviness:
    """Where a down weight lies; never falls as `down` rises."""
    if down < settings.down_light:
        return Heaviness.LIGHT
    if down < settings.down_ideal_low:
        return Heaviness.BELOW_IDEAL
    if down <= settings.down_ideal_high:
        return Heaviness.IDEAL
    if down <= settings.down_acceptable:
        return Heaviness.ACCEPTABLE
    return Heaviness.HEAVY if down < settings.down_too_heavy else Heaviness.TOO_HEAVY


def verdict_of(down: Decimal, up: Decimal, key: int, settings: TouchSettings) -> Verdict:
    """The truth table for a key that returns (0 < up <= down), weights alone."""
    friction, balance = statics(down, up)
    target = settings.friction_target(key)
    rubs = friction > settings.friction_high(key)
    weighs = balance + target > settings.down_acceptable
    if down > settings.down_acceptable:
        if rubs and not weighs:
            return Verdict.FRICTION
        return Verdict.WEIGHT if weighs and not rubs else Verdict.BOTH
    if rubs:
        return Verdict.FRICTION
    if friction < settings.friction_low:
        return Verdict.LOOSE
    if up < settings.up_slow:
        return Verdict.FRICTION if friction > target and down > settings.down_ideal_high else Verdict.LIGHT_SLOW
    return Verdict.LIGHT if down < settings.down_light else Verdict.FINE


def expected_down(down: Decimal, balance: Weighed | None, key: int, settings: TouchSettings) -> Decimal | None:
    """D' = B + F target, never above the present one: treatment adds no friction. None where B is only a bound."""
    if balance is None or balance.bound is not Bound.EXACT:
        return None
    return min(down, balance.value + settings.friction_target(key))


def diagnose(
    reading: KeyReading,
    friction: Weighed | None,
    balance: Weighed | None,
    swing: SwingFigures | None,
    settings: TouchSettings,
) -> Finding:
    """One key. `friction` and `balance` as from `touch.friction_and_balance`."""
    down, up = reading.down, reading.up
    if down is not None and up is not None and up > down:
        return Finding(
            Verdict.DOUBTFUL,
            f"Up {grams(up)} g is above down {grams(down)} g, which cannot be: perhaps swapped. Measure again.",
        )
    if down is None or friction is None or balance is None:
        return _without_weights(reading, swing, settings)
    if not returns(reading):
        return _no_return(reading.key, down, swing, settings)
    assert up is not None
    verdict = verdict_of(down, up, reading.key, settings)
    why = _why(verdict, down, up, reading.key, settings)
    verdict, more = with_swings(verdict, friction.value, reading.key, swing, settings)
    return Finding(verdict, f"{why} {more}".strip(), expected_down(down, balance, reading.key, settings))


def _why(verdict: Verdict, down: Decimal, up: Decimal, key: int, settings: TouchSettings) -> str:
    friction, balance = statics(down, up)
    target = settings.friction_target(key)
    down_words = f"Down {grams(down)} g is {heaviness(down, settings)}"
    friction_words = f"friction {grams(friction)} g against {grams(target)} g wanted"
    ideal = balance + target
    left = f"with friction at its target the key would take {grams(min(down, ideal))} g"
    if friction == 0:
        return f"{down_words}; friction 0 g is hardly possible: measure again, and look for a loose centre."
    match verdict:
        case Verdict.FRICTION:
            return f"{down_words} and {friction_words} is high: {left}."
        case Verdict.WEIGHT:
            return (
                f"{down_words} while {friction_words} is not: even so the balance of {grams(balance)} g is too much."
            )
        case Verdict.BOTH if ideal > settings.down_acceptable:
            return f"{down_words}, {friction_words} is high, and {left}: still too much."
        case Verdict.BOTH:
            return (
                f"{down_words}: {friction_words} is a little high, so is the balance of {grams(balance)} g; {left}."
            )
        case Verdict.LIGHT_SLOW:
            return (
                f"Up {grams(up)} g returns slowly while {friction_words}: the balance of {grams(balance)} g is low."
            )
        case Verdict.LIGHT:
            return f"{down_words}, yet it returns ({grams(up)} g): the balance of {grams(balance)} g is low."
        case Verdict.LOOSE:
            return f"{down_words} and {friction_words} is little: look for loose centres and side play."
        case _:
            return f"{down_words}, up {grams(up)} g returns, {friction_words}."


def with_swings(
    verdict: Verdict, friction: Decimal, key: int, swing: SwingFigures | None, settings: TouchSettings
) -> tuple[Verdict, str]:
    """What the swing count adds to a verdict from weights: where the friction sits, or a contradiction."""
    if swing is None:
        ask = "Let the hammer swing to tell the flange from the key."
        return verdict, ask if verdict in FRICTION_INVOLVED else ""
    times = f"{grams(swing.count)} swings, where about {grams(settings.swings_wanted)} are wanted"
    if swing.flange is Flange.SEIZED:
        if friction < settings.friction_low:
            return Verdict.DOUBTFUL, "0 swings and so little friction contradict each other: measure both again."
        heavier = verdict in WEIGHT_INVOLVED
        return Verdict.BOTH if heavier else Verdict.FRICTION, "0 swings: the hammer flange is seized; ease it first."
    if swing.flange is Flange.TIGHT:
        if verdict in FRICTION_INVOLVED:
            return verdict, f"{times}: the hammer flange is tight; ease it first."
        if verdict is Verdict.FINE and friction > settings.friction_target(key):
            return Verdict.FRICTION, f"{times}: the hammer flange is tight and friction is above its target; ease it."
        return verdict, (
            f"{times}, are few while the key's friction is not high: the flange is only a small part of it, the "
            "hammer is light, or it fell from less than the angle set. Count again; a tight flange is slow to repeat."
        )
    if swing.flange is Flange.LOOSE:
        loose = f"{times}, are far too many: feel the flange for side play."
        return (Verdict.LOOSE if verdict is Verdict.FINE else verdict), loose
    if verdict in FRICTION_INVOLVED:
        return verdict, (
            f"{times}: the hammer flange is free, so look at the key bushings and the balance hole, then elsewhere "
            "(wippen, repetition, damper)."
        )
    return verdict, f"{times}: swings alone do not clear a centre." if verdict is Verdict.LOOSE else ""


def _no_return(key: int, down: Decimal, swing: SwingFigures | None, settings: TouchSettings) -> Finding:
    half = down / 2
    bound = f"The key lifts no weight, so friction is at least {grams(half)} g and balance at most {grams(half)} g."
    if half > settings.friction_high(key):
        most = half + settings.friction_target(key)
        verdict, more = with_swings(Verdict.FRICTION, half, key, swing, settings)
        return Finding(
            verdict, f"{bound} With friction at its target it would take at most {grams(most)} g. {more}".strip()
        )
    verdict, more = with_swings(Verdict.LIGHT_SLOW, max(half, settings.friction_low), key, swing, settings)
    return Finding(verdict, f"{bound} The balance is low; friction may be high besides. {more}".strip())


def _without_weights(reading: KeyReading, swing: SwingFigures | None, settings: TouchSettings) -> Finding:
    """Down or up is missing: what the rest says by itself."""
    parts: list[str] = []
    if reading.down is not None:
        grade = heaviness(reading.down, settings)
        parts.append(
            f"Down {grams(reading.down)} g is {grade}; without up, friction and balance cannot be told apart."
        )
    elif reading.up is not None:
        parts.append(f"Up {grams(reading.up)} g without down: no friction, no balance.")
    elif not returns(reading):
        parts.append("The key lifts no weight; without down nothing more can be said.")
    verdict = Verdict.UNKNOWN
    if swing is not None:
        said = {
            Flange.SEIZED: (Verdict.FRICTION, "the hammer flange is seized; ease it"),
            Flange.TIGHT: (Verdict.FRICTION, "the hammer flange is tight; ease it"),
            Flange.LOOSE: (Verdict.LOOSE, "far more than wanted, feel the flange for side play"),
            Flange.FREE: (Verdict.UNKNOWN, "the hammer flange is free"),
        }
        verdict, words = said[swing.flange]
        parts.append(f"{grams(swing.count)} swings: {words}.")
    return Finding(verdict, " ".join(parts))
