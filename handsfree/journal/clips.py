"""The sound of each utterance, as FLAC files in a folder beside the journal."""

from __future__ import annotations

import contextlib
import io
import os
import shutil
import sys
from pathlib import Path

from handsfree.nouns import Utterance

KEPT_FREE = 4 * 1024 * 1024
"""Bytes of disk that clips leave to the readings: a sitting's readings need well under one megabyte."""


def clips_folder(journal: Path) -> Path:
    return journal.with_name(journal.name + ".clips")


def write_clip(folder: Path, name: str, utterance: Utterance) -> None:
    """Whole and on disk when it returns; raises OSError, and then leaves nothing behind."""
    if not folder.is_dir():
        folder.mkdir()
        _names_on_disk(folder.parent)
    sound = _flac(utterance)
    if shutil.disk_usage(folder).free < KEPT_FREE + len(sound):
        raise OSError("the disk is nearly full")
    half, whole = folder / (name + ".half"), folder / name
    try:
        with open(half, "wb") as out:
            out.write(sound)
            out.flush()
            os.fsync(out.fileno())
        os.replace(half, whole)
        _names_on_disk(folder)
    except OSError:
        for file in (half, whole):
            with contextlib.suppress(OSError):
                file.unlink(missing_ok=True)
        raise


def _names_on_disk(folder: Path) -> None:
    """A file that is on disk has its name only in its folder, which is written by itself (on Windows with the file):
    without this a remark could lose its sound to a power cut though its line was kept."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def read_clip(path: Path) -> tuple[bytes, int]:
    """`(pcm, rate)`: 16-bit little-endian mono, hertz; raises OSError."""
    import soundfile

    try:
        with soundfile.SoundFile(str(path)) as sound:
            return bytes(sound.buffer_read(dtype="int16")), int(sound.samplerate)
    except soundfile.SoundFileError as error:
        raise OSError(str(error)) from error


def _flac(utterance: Utterance) -> bytes:
    import soundfile

    buffer = io.BytesIO()
    with soundfile.SoundFile(buffer, "w", utterance.rate, 1, "PCM_16", format="FLAC") as sound:
        sound.buffer_write(utterance.pcm, dtype="int16")
    return buffer.getvalue()
