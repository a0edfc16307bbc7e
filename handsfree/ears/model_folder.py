"""The recogniser's model on disk: where it is, whether it is whole, and one folder a context for the decoder.

A model folder is a Vosk folder (am/, conf/, graph/) with a manifest.json that names it, says what it was trained on
and how well it hears, and holds the sha256 of every file.
"""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from handsfree.ears.strict_grammar import UNKNOWN_COSTS, read_words, write_strict_graph
from handsfree.errors import NoModel
from handsfree.nouns import Automaton

MANIFEST = "manifest.json"
PACKAGED = Path(__file__).resolve().parent.parent / "model"
"""Where a wheel puts the model."""
IN_REPOSITORY = Path(__file__).resolve().parent.parent.parent / "models" / "keybed-en"
SECOND_EAR = (
    Path(__file__).resolve().parent.parent / "second_ear",
    Path(__file__).resolve().parent.parent.parent / "models" / "second-ear",
)
"""Where a wheel puts the second ear, and where it lies in the repository."""
NEEDED = ("am/final.mdl", "conf/model.conf", "graph/HCLr.fst", "graph/words.txt")
"""Without these there is nothing to decode with."""
SHARED = ("am", "conf")
"""Folders that all contexts have in common."""


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, frozen=True, extra="forbid")


class Corpus(_Strict):
    """One body of training speech."""

    name: str
    licence: str
    speakers: int | None
    """Heard in training; None where the corpus names none."""
    minutes: float


class Manifest(_Strict):
    """What a model is, as it was measured when it was made."""

    name: str
    version: str
    language: str
    status: str
    """"proof" or "release"."""
    licence: str
    files: Mapping[str, str]
    """Path within the folder -> sha256."""
    vocabulary: list[str]
    phones: list[str]
    corpora: list[Corpus]
    figures: Mapping[str, float]
    """Measured on speakers never heard in training; names say what and in which unit."""
    recipe_commit: str
    """The repository's commit whose models/training/ made it."""


def find_model(setting: Path | None = None) -> Path:
    """The folder to use: `setting`, else HANDSFREE_MODEL, else the model that came with handsfree.

    NoModel when a named folder is no model folder, or none came with this installation.
    """
    named = setting or (Path(value) if (value := os.environ.get("HANDSFREE_MODEL")) else None)
    if named is not None:
        if not named.is_dir():
            raise NoModel(f"there is no model folder {named}", do="Name a folder that holds am, conf and graph.")
        _check_needed(named, do="Name a folder that holds am, conf and graph.")
        return named
    for folder in (PACKAGED, IN_REPOSITORY):
        if folder.is_dir():
            _check_needed(folder, do="Install handsfree again.")
            return folder
    raise NoModel("handsfree was installed without its model", do="Install it again, or set HANDSFREE_MODEL.")


def find_second_ear() -> Path:
    """The folder of the second ear that came with handsfree; NoModel where it is missing."""
    for folder in SECOND_EAR:
        if folder.is_dir():
            return folder
    raise NoModel("handsfree was installed without its second ear", do="Install it again.")


def _check_needed(folder: Path, do: str) -> None:
    missing = [name for name in NEEDED if not (folder / name).is_file()]
    if missing:
        raise NoModel(f"the model folder {folder} lacks {missing[0]}", do=do)


def read_manifest(folder: Path) -> Manifest:
    """The folder's manifest; NoModel when it is missing or not one."""
    path = folder / MANIFEST
    try:
        return Manifest.model_validate_json(path.read_bytes())
    except OSError as error:
        raise NoModel(f"the model folder {folder} lacks {MANIFEST}", do="Install handsfree again.") from error
    except ValidationError as error:
        first = error.errors()[0]
        what = ": ".join(filter(None, (".".join(map(str, first["loc"])), first["msg"])))
        raise NoModel(f"{path} is not a model's manifest ({what})", do="Install handsfree again.") from error


def verify(folder: Path) -> Manifest:
    """Every file as the manifest says; NoModel names the first that is missing or altered. About 10 ms."""
    manifest = read_manifest(folder)
    for name, expected in manifest.files.items():
        path = folder / name
        if not path.is_file():
            raise NoModel(f"the model file {path} is missing", do="Install handsfree again.")
        if sha256(path) != expected:
            raise NoModel(f"the model file {path} was altered or is damaged", do="Install handsfree again.")
    return manifest


def sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def prepare_context(
    folder: Path, automaton: Automaton, where: Path, *, unknown_costs: tuple[float, ...] | None = UNKNOWN_COSTS
) -> Path:
    """Make `where` a model folder that hears exactly `automaton`; returns it. About 20 ms for the touch grammar.

    Shares the model's files by links (copies where links cannot be made) and has its own Gr.fst. Called again for the
    same place it replaces the grammar alone; a model already loaded from there is not touched. NoModel when the model
    lacks a word of the grammar; OSError when `where` cannot be written.
    """
    (where / "graph").mkdir(parents=True, exist_ok=True)
    for name in SHARED:
        _share(folder / name, where / name)
    for file in sorted((folder / "graph").iterdir()):
        if file.name != "Gr.fst":
            _share(file, where / "graph" / file.name)
    fresh = where / "graph" / "Gr.fst.new"
    write_strict_graph(automaton, known_words(folder), fresh, unknown_costs=unknown_costs)
    fresh.replace(where / "graph" / "Gr.fst")
    return where


@lru_cache(maxsize=4)
def known_words(folder: Path) -> dict[str, int]:
    """The model's words and their labels."""
    return read_words(folder / "graph" / "words.txt")


def _share(original: Path, place: Path) -> None:
    if place.is_symlink():
        if place.resolve() == original.resolve():
            return
        place.unlink()
    elif place.exists():
        shutil.rmtree(place) if place.is_dir() else place.unlink()
    try:
        place.symlink_to(original.resolve(), target_is_directory=original.is_dir())
    except OSError:
        shutil.copytree(original, place) if original.is_dir() else shutil.copy2(original, place)
