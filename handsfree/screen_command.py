"""`handsfree` and `handsfree listen` without --plain: the pass on the screen."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from handsfree.errors import BadUsage
from handsfree.hearing import VOICED, hearing, sound
from handsfree.measured import measured, named, touch_of
from handsfree.nouns import Circumstance, Sheet
from handsfree.opening import OpenPass, open_pass, settings_of
from handsfree.reckoning.results import Figures, Interval
from handsfree.reckoning.summary import figures
from handsfree.reckoning.swing import torques
from handsfree.reckoning.touch_settings import TouchSettings
from handsfree.remarks import Remarks
from handsfree.screen import app
from handsfree.screen.ports import Look


def run(args: argparse.Namespace) -> int:
    """By voice where there is a microphone, and by keyboard in any case."""
    source_name = getattr(args, "source", None)
    if getattr(args, "started", None):
        raise BadUsage("--started is for --plain", do="Add --plain, or leave it out.")
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise BadUsage("there is no terminal to show the screen on", do="Use listen --plain, or listen --typed.")
    before: Sheet | None = None
    while True:
        settings = settings_of(args)
        with (
            sound(source_name, settings, realtime=True, must=False) as (source, speaker),
            hearing(settings) as ears,
            open_pass(
                args,
                settings,
                model=ears.name,
                renewable=source_name is None,
                greeting="" if before is None else "New sitting.",
            ) as opened,
        ):
            look = replace(look_of(opened), new_sitting=source_name is None)
            if before is not None:
                opened.session.set_pass(before.doing)
                opened.session.set_plan(before.plan)
                new = f"no. {opened.journal.sitting.id}, a new one; what was measured before stays as it is"
                look = replace(look, opened=new)
            ended = app.run(opened.session, opened.listener(ears, source), speaker, look)
            before = opened.session.sheet
        if ended != app.NEW_SITTING:
            return ended
        again = {"instrument": _instrument(opened), "new_sitting": True}
        args = argparse.Namespace(**vars(args) | again)


def look_of(opened: OpenPass) -> Look:
    """What the screen shows of this pass."""
    journal, settings = opened.journal, opened.settings
    return Look(
        title=_instrument(opened) or journal.path.name,
        opened=_opening(opened),
        dark=settings.theme == "dark",
        wanted=frozenset(opened.session.limits.wanted),
        voiced=VOICED[settings.read_back],
        figures=partial(_figures, opened, touch_of(settings)),
        torques=partial(_torques, opened),
        walk=lambda: opened.session.walk,
        remarks=Remarks(
            lambda: opened.session.walk, opened.session.write_down, journal.clips_folder, settings.general_model
        ),
        watch=opened.after_turn,
    )


def _instrument(opened: OpenPass) -> str:
    return named(opened.journal.sitting, opened.session.walk.noted).instrument


def _opening(opened: OpenPass) -> str:
    """What is gone on with; a new sitting with nothing in it needs no word."""
    sitting, session = opened.journal.sitting, opened.session
    if not (session.sheet.entries or session.walk.items):
        return opened.news
    begun = sitting.opened_at[:16].replace("T", " ")
    return f"no. {sitting.id}, begun {begun}; after a treatment press Ctrl+N"


def _torques(opened: OpenPass, sheet: Sheet) -> Mapping[int, Interval]:
    """Only where hammers were weighed: then there is something to work out after each turn."""
    noted = opened.session.walk.noted
    weighed = Circumstance.HAMMERS in noted
    return torques(measured(sheet, opened.journal.sitting, noted=noted)) if weighed else {}


def _figures(opened: OpenPass, touch: TouchSettings, sheet: Sheet) -> Figures:
    noted = opened.session.walk.noted
    return figures(measured(sheet, opened.journal.sitting, noted=noted), touch)
