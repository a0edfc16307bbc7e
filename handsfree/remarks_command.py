"""`handsfree remarks`: spoken remarks, to be listened to and written down after the work."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from handsfree.errors import BadUsage
from handsfree.export_command import chosen

if TYPE_CHECKING:
    from handsfree.journal.store import Journal
    from handsfree.nouns import Remark, Walk

DESCRIPTION = """Lists the remarks of a walkthrough; plays one; keeps the words of one that you write down, or that a
general speech model of your own finds in them (marked as such)."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    before = argparse.SUPPRESS  # what stood before the command holds on
    parser.add_argument("--journal", metavar="J", help="the journal", default=before)
    parser.add_argument("--settings", metavar="FILE", help="settings file", default=before)
    parser.add_argument("--instrument", metavar="NAME", help="the last sitting at this instrument", default=before)
    parser.add_argument("--sitting", metavar="N", type=int, help="number of the sitting (default: the last one)")
    do = parser.add_mutually_exclusive_group()
    do.add_argument("--play", metavar="NO", type=int, help="play this remark")
    do.add_argument("--write", metavar=("NO", "TEXT"), nargs=2, help="keep this text as the words of a remark")
    do.add_argument(
        "--recognise", metavar="FOLDER", help="write down with this Vosk model what nobody has written down yet"
    )


def run(args: argparse.Namespace) -> int:
    from handsfree.journal.reader import JournalReader
    from handsfree.journal.walk import walk_fold
    from handsfree.settings import journal_path, read_settings

    path = journal_path(args.journal, read_settings(args.settings))
    with JournalReader.read(path) as journal:
        sitting = chosen(journal, args.sitting, args.instrument)
        walk, clips = walk_fold(journal.facts(sitting.id)), journal.clips_folder
    if args.play is not None:
        _play(_remark(walk, args.play), clips)
    elif args.write or args.recognise:
        from handsfree.journal.store import Journal

        with Journal.open(path) as writer:
            writer.sitting = sitting
            if args.write:
                _write(writer, walk, *args.write)
            else:
                _recognise(writer, walk, Path(args.recognise), clips)
            walk = walk_fold(writer.facts(sitting.id))
    if args.play is None:
        print("\n".join(listed(walk)) or "There are no remarks.")
    return 0


def listed(walk: Walk) -> list[str]:
    """One line a remark: number, what it belongs to, when, and its words."""
    items = {i.n: i.finding for i in walk.items}
    lines = []
    for remark in (r for r in walk.remarks if not r.withdrawn):
        finding = items.get(remark.item or 0)
        about = f"{finding.part}, {finding.finding}".rstrip(", ") if finding else remark.part or "the instrument"
        words = remark.text or ("(sound only)" if remark.clip else "(its sound was not kept)")
        by = " (by machine, not checked)" if remark.by == "machine" else ""
        lines.append(f"{remark.n:5}  {remark.at[:19]}  {about}: {words}{by}")
    return lines


def _remark(walk: Walk, number: int) -> Remark:
    remark = next((r for r in walk.remarks if r.n == number and not r.withdrawn), None)
    if remark is None:
        known = ", ".join(str(r.n) for r in walk.remarks if not r.withdrawn) or "none"
        raise BadUsage(f"there is no remark {number} in this sitting", do=f"There are: {known}.")
    return remark


def _sound(remark: Remark, clips: Path) -> tuple[bytes, int]:
    from handsfree.journal.clips import read_clip

    if remark.clip is None:
        raise BadUsage(f"remark {remark.n} has no sound", do="It was typed, or its sound could not be kept.")
    try:
        return read_clip(clips / remark.clip)
    except OSError as error:
        raise BadUsage(f"cannot read the sound of remark {remark.n} ({error})", do=f"Look into {clips}.") from error


def _play(remark: Remark, clips: Path) -> None:
    from handsfree.voice.playing import Loudspeaker, NoLoudspeaker
    from handsfree.voice.sound import Sound

    sound = Sound(*_sound(remark, clips))
    try:
        Loudspeaker().play(sound)
    except NoLoudspeaker as error:
        raise BadUsage(
            f"there is no loudspeaker ({error})", do=f"Play {clips / str(remark.clip)} with another program."
        ) from error


def _write(journal: Journal, walk: Walk, number: str, text: str) -> None:
    from handsfree.nouns import RemarkTyped

    if not number.isdecimal() or not text.strip():
        raise BadUsage("--write wants the number of a remark and its text", do='Write --write 16 "the text".')
    journal.append_unheard((RemarkTyped(_remark(walk, int(number)).n, text.strip(), "keyboard"),))


def _recognise(journal: Journal, walk: Walk, folder: Path, clips: Path) -> None:
    """What a person wrote down is never overwritten."""
    from handsfree.ears.dictation import Dictation
    from handsfree.nouns import RemarkTyped

    model = Dictation(folder)
    for remark in walk.remarks:
        if remark.withdrawn or remark.clip is None or remark.by == "keyboard":
            continue
        if words := model.words(*_sound(remark, clips)):
            journal.append_unheard((RemarkTyped(remark.n, words, "machine"),))
