"""Photographs from a folder: their times are read, and copies for the report made. The files are never changed.

A copy is turned upright, made small enough for a page, and carries nothing of what the camera wrote into the file:
whoever gets a report need not learn where a customer lives.
"""

from __future__ import annotations

import io
import os
import warnings
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from handsfree.errors import BadUsage
from handsfree.nouns import Walk
from handsfree.pictures import shown, span, taken_at
from handsfree.reports.walk_section import Picture

KINDS = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".avif")
HEIF = (".heic", ".heif")
"""What many telephones write: read where the package pillow-heif is installed."""
RAW = (".dng", ".cr2", ".cr3", ".nef", ".arw", ".orf", ".raf", ".rw2")
"""What cameras write besides, for no eye: named as left out."""
LONGEST_SIDE = 1600
"""Pixels of a copy."""
_EXIF_FOLDER, _CHANGED = 0x8769, 0x0132
"""Tags of EXIF 2.31: the folder of camera data, DateTime ..."""
_TAKEN, _DIGITIZED = (0x9003, 0x9011), (0x9004, 0x9012)
"""... in the folder DateTimeOriginal and DateTimeDigitized, each with its offset from UTC ..."""
_OFFSET_CHANGED = 0x9010
"""... and that of DateTime."""


@dataclass(frozen=True, slots=True)
class Pictures:
    placed: tuple[Picture, ...]
    """In the order in which they were taken."""
    left_out: tuple[str, ...]
    """One line a file that cannot be used: its name and why."""
    elsewhere: tuple[str, ...]
    """One line a file that is not of this walkthrough: its name and when it was taken."""


def pictures_of(
    folder: Path,
    walk: Walk,
    camera_ahead: timedelta,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> Pictures:
    """The photographs of a folder, and of the folders in it, that belong to a walkthrough. Raises BadUsage for a
    folder that is none.

    `progress` is told how many files are done, and of how many.
    """
    files = _files(folder)
    placed, left_out, elsewhere = list[Picture](), list[str](), list[str]()
    for done, (path, found) in enumerate(_read(files), start=1):
        progress(done, len(files))
        name = path.relative_to(folder).as_posix()
        if isinstance(found, str):
            left_out.append(f"{name}: {found}")
            continue
        taken = taken_at(*found, walk, camera_ahead)
        what = shown(taken, walk) if taken else None
        if taken is None and span(walk):
            left_out.append(f"{name}: no time in it")
        elif taken is None or what is None:
            elsewhere.append(f"{name}, taken {f'{taken:%Y-%m-%d %H:%M:%S}' if taken else found[0]}")
        elif (copy := _copy_of(path)) is None:
            left_out.append(f"{name}: damaged")
        else:
            placed.append(Picture(name, taken.isoformat(timespec="seconds"), what.part, what.item, copy))
    return Pictures(tuple(sorted(placed, key=lambda p: (p.taken_at, p.name))), tuple(left_out), tuple(elsewhere))


def _files(folder: Path) -> list[Path]:
    """By name; what a telephone hides (small pictures of its own) is left alone."""

    def stop(error: OSError) -> None:
        if error.filename == str(folder):
            what = f"cannot look into the folder {folder} ({error.strerror})"
            raise BadUsage(what, do="Check --pictures.") from error

    found: list[Path] = []
    for at, folders, names in os.walk(folder, onerror=stop):
        folders[:] = [one for one in folders if not one.startswith(".")]
        found += [Path(at, name) for name in names if not name.startswith(".")]
    return sorted(p for p in found if p.suffix.lower() in (*KINDS, *HEIF, *RAW) and p.is_file())


def _read(files: Iterable[Path]) -> Iterator[tuple[Path, tuple[str, str | None] | str]]:
    """Each with the time that the camera wrote and its offset from UTC, or with why it cannot be read."""
    from PIL import Image

    heif = _reads_heif()
    for path in files:
        if path.suffix.lower() in RAW or (path.suffix.lower() in HEIF and not heif):
            yield path, "cannot be read here, save it as JPEG"
            continue
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("error")
                with Image.open(path) as image:
                    exif = image.getexif()
                    camera = exif.get_ifd(_EXIF_FOLDER)
        except Exception as error:  # damaged files make a picture library raise nearly anything
            yield path, f"cannot be read ({type(error).__name__})"
            continue
        yield path, _time_in(camera, exif.get(_CHANGED)) or "no time in it"


def _time_in(camera: Mapping[int, object], changed: object) -> tuple[str, str | None] | None:
    """The time at which it was taken, or else at which it was stored as a picture, which for a camera is the same.
    Where only the file's last change has an offset, that is the camera's as long as the two times agree."""
    for time, offset in (_TAKEN, _DIGITIZED):
        if written := camera.get(time):
            same = camera.get(_OFFSET_CHANGED) if changed == written else None
            zone = camera.get(offset) or same
            return str(written), str(zone) if zone else None
    return None


def _reads_heif() -> bool:
    """Teaches the picture library to, where it can be taught."""
    try:
        from pillow_heif import register_heif_opener
    except ImportError:
        return False
    register_heif_opener()
    return True


def _copy_of(path: Path) -> bytes | None:
    """A JPEG for a page; None for a picture that breaks off half-way."""
    from PIL import Image, ImageOps

    try:
        with Image.open(path) as image:
            upright = ImageOps.exif_transpose(image).convert("RGB")
    except (OSError, ValueError, Image.DecompressionBombError):
        return None
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    clean = Image.new("RGB", upright.size)
    clean.paste(upright)
    out = io.BytesIO()
    clean.save(out, "JPEG", quality=82)
    return out.getvalue()
