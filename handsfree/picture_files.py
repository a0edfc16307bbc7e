"""Photographs from a folder: their times are read, and copies for the report made. The files are never changed.

A copy is turned upright, made small enough for a page, and carries nothing of what the camera wrote into the file:
whoever gets a report need not learn where a customer lives.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from handsfree.errors import BadUsage
from handsfree.nouns import Sitting, Walk
from handsfree.pictures import shown, taken_at
from handsfree.reports.walk_section import Picture

KINDS = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".avif")
HEIF = (".heic", ".heif")
"""What many telephones write: read where the package pillow-heif is installed."""
RAW = (".dng", ".cr2", ".cr3", ".nef", ".arw", ".orf", ".raf", ".rw2")
"""What cameras write besides, for no eye: named as left out."""
LONGEST_SIDE = 1600
"""Pixels of a copy."""
_EXIF_FOLDER, _TAKEN, _OFFSET = 0x8769, 0x9003, 0x9011
"""Tags of EXIF 2.31: the folder of camera data, DateTimeOriginal, OffsetTimeOriginal."""


@dataclass(frozen=True, slots=True)
class Pictures:
    placed: tuple[Picture, ...]
    """In the order in which they were taken."""
    left_out: tuple[str, ...]
    """One line a file: its name and why."""


def pictures_of(
    folder: Path,
    walk: Walk,
    sitting: Sitting,
    camera_ahead: timedelta,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> Pictures:
    """The photographs of a folder that belong to a walkthrough. Raises BadUsage for a folder that is none.

    `progress` is told how many files are done, and of how many.
    """
    try:
        files = sorted(p for p in folder.iterdir() if p.suffix.lower() in (*KINDS, *HEIF, *RAW) and p.is_file())
    except OSError as error:
        raise BadUsage(f"cannot look into the folder {folder} ({error.strerror})", do="Check --pictures.") from error
    placed, left_out = [], []
    for done, (path, found) in enumerate(_read(files), start=1):
        progress(done, len(files))
        taken = taken_at(*found, sitting.opened_at, camera_ahead) if isinstance(found, tuple) else None
        what = shown(taken, walk) if taken else None
        if isinstance(found, str):
            left_out.append(f"{path.name}: {found}")
        elif taken is None or what is None:
            left_out.append(f"{path.name}: " + ("not of this walkthrough" if taken else "no time in it"))
        elif (copy := _copy_of(path)) is None:
            left_out.append(f"{path.name}: damaged")
        else:
            placed.append(Picture(path.name, taken.isoformat(timespec="seconds"), what.part, what.item, copy))
    return Pictures(tuple(sorted(placed, key=lambda p: (p.taken_at, p.name))), tuple(left_out))


def _read(files: Iterable[Path]) -> Iterator[tuple[Path, tuple[str, str | None] | str]]:
    """Each with its DateTimeOriginal and OffsetTimeOriginal, or with why it cannot be read."""
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
                    camera = image.getexif().get_ifd(_EXIF_FOLDER)
        except Exception as error:  # damaged files make a picture library raise nearly anything
            yield path, f"cannot be read ({type(error).__name__})"
            continue
        written, offset = camera.get(_TAKEN), camera.get(_OFFSET)
        yield path, (str(written), str(offset) if offset else None) if written else "no time in it"


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
