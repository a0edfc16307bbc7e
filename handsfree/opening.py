"""Opens what a command line asks for: the journal, the session on it, and the plan."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from handsfree import __version__
from handsfree.errors import BadUsage, DiskTrouble
from handsfree.journal.store import Circumstances, Journal, local_time
from handsfree.judgement.limits import Limits, Range
from handsfree.live_export import LiveExport
from handsfree.nouns import Pass, Plan
from handsfree.session import Session
from handsfree.settings import Settings, journal_path, read_settings
from handsfree.words.plans import plan_named

if TYPE_CHECKING:
    from handsfree.ears.blocks import Source
    from handsfree.ears.listening import Listener
    from handsfree.hearing import Hearing

PLANS = 'every key, naturals, sharps, "octave four", "each C and F", a list such as "A0, C4, 49", none'


@dataclass(frozen=True, slots=True)
class OpenPass:
    """What is open while a command runs."""

    settings: Settings
    journal: Journal
    session: Session
    news: str = ""
    """One line for the person about the opening, "" = none."""
    live: LiveExport | None = None

    def listener(self, ears: Hearing, source: Source) -> Listener:
        """The ears on this sound, for what this sitting listens for."""
        return ears.listener(source, lambda: self.session.context)

    def after_turn(self) -> str:
        """What is to be done after each turn; a lasting trouble in one line, "" = none."""
        return (self.live.write() if self.live else "") or self.journal.trouble


def settings_of(args: argparse.Namespace) -> Settings:
    """The settings file, and what the command line says otherwise."""
    settings = read_settings(args.settings)
    said: dict[str, object] = {}
    if args.weights:
        said["weights"] = "down" if args.weights == "down" else "down and up"
    if args.device:
        said["device"] = args.device
    if args.model:
        said["model"] = args.model
    return settings.model_copy(update=said)


def limits_of(settings: Settings) -> Limits:
    """What the judgement goes by."""
    table = settings.judgement
    changes: dict[str, object] = {
        "heaviest": table.heaviest_g,
        "repeat": table.repeat_g,
        "take": table.take,
        "take_note": table.take_note,
        "take_count": table.take_count,
        "take_in_noise": table.take_in_noise,
        "take_finding": table.take_finding,
        "overrule": table.overrule,
        "surprise": table.surprise,
        "down": _range(table.down_g),
        "up": _range(table.up_g),
        "friction": _range(table.friction_g),
        "swings": _range(table.swings),
    }
    given = {name: value for name, value in changes.items() if value is not None}
    usual = Limits(weights=settings.weights, fahrenheit=settings.temperature == "fahrenheit")
    return replace(usual, **given)  # type: ignore[arg-type]


def plan_of(name: str | None) -> Plan | None:
    """The plan of a command line, None when none was given. Raises BadUsage."""
    if name is None:
        return None
    plan = plan_named(name)
    if plan is None:
        raise BadUsage(f"there is no plan {name!r}", do=f"There are: {PLANS}.")
    return plan


@contextmanager
def open_pass(
    args: argparse.Namespace,
    settings: Settings,
    *,
    model: str = "",
    now: Callable[[], datetime] = local_time,
    renewable: bool = False,
    greeting: str = "",
) -> Iterator[OpenPass]:
    """Everything open, and closed again at the end. `model`: name and checksum, for the record; `renewable`: the
    caller begins a new sitting when one is asked for; `greeting`: what the tool says of the opening."""
    plan = plan_of(args.plan)
    path = journal_path(args.journal, settings)
    if not args.journal:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise DiskTrouble(
                f"cannot make the folder {path.parent} ({error.strerror})", do="Name a journal with --journal."
            ) from error
    circumstances = Circumstances(f"handsfree {__version__}", model, method_of(settings))
    with Journal.open(
        path,
        args.instrument,
        now=now,
        new_sitting=args.new_sitting,
        circumstances=circumstances,
        keep_clips=settings.keep_clips,
    ) as journal:
        news = _news(journal)
        session = Session(journal, limits_of(settings), renewable=renewable, news=greeting)
        if wanted := getattr(args, "doing", None):
            session.set_pass(Pass(wanted))
        if plan is not None:
            session.set_plan(plan)
        live = LiveExport(args.follow, journal.sitting, session) if args.follow else None
        yield OpenPass(settings, journal, session, news, live)


def _news(journal: Journal) -> str:
    """A name that was never used here is a new instrument, or a slip."""
    *earlier, last = (s.instrument for s in journal.sittings())
    if not earlier or last in earlier or list(journal.facts()):
        return ""
    known = ", ".join(dict.fromkeys(name or "(not named)" for name in earlier))
    return f"a new instrument, {last!r}; this journal knows {known}"


def method_of(settings: Settings) -> dict[str, str]:
    """How it is measured, kept with the sitting: figures need it, and a later setting must not change them."""
    return {
        "weights": settings.weights,
        "weight_step_g": f"{settings.weight_step_g:f}",
        "swing": settings.swing,
        "release_angle_deg": f"{settings.release_angle_deg:g}",
    }


def _range(span: list[Decimal] | None) -> Range | None:
    return None if span is None else Range(span[0], span[1])
