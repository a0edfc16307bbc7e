"""Writes a model folder's manifest.json: what the folder holds, with the sha256 of every file.

    python models/training/manifest.py models/keybed-en --version 1.0 --status release \\
        --corpora corpora.json --figures figures.json

Without --corpora or --figures the ones of the present manifest are kept.
"""

from __future__ import annotations

import argparse
import json
import subprocess
from pathlib import Path
from typing import Any

from handsfree.ears.model_folder import MANIFEST, Manifest, sha256
from handsfree.ears.second_ear import LEXICON
from phones import BASE_PHONES


def files_of(folder: Path) -> dict[str, str]:
    """Path within the folder -> sha256 of every file but the manifest."""
    paths = sorted(path for path in folder.rglob("*") if path.is_file() and path.name != MANIFEST)
    return {path.relative_to(folder).as_posix(): sha256(path) for path in paths}


def vocabulary_of(folder: Path) -> list[str]:
    """The words of a Vosk folder, or of the second ear's."""
    listed = folder / "graph" / "words.txt"
    rows = (listed if listed.exists() else folder / LEXICON).read_text(encoding="utf-8").split("\n")
    return sorted({row.split()[0] for row in rows if row} - {"<eps>"})


def recipe_commit() -> str:
    """The last commit that changed the recipe."""
    here = Path(__file__).resolve().parent
    command = ["git", "-C", str(here), "log", "-1", "--format=%H", "--", "."]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()


def write_manifest(
    folder: Path, version: str, status: str, corpora: list[Any], figures: dict[str, float]
) -> Manifest:
    manifest = Manifest.model_validate_json(
        json.dumps(
            {
                "name": folder.resolve().name,
                "version": version,
                "language": "en",
                "status": status,
                "licence": "GPL-3.0-or-later; trained on corpora with the licences below, see models/NOTICES.md",
                "files": files_of(folder),
                "vocabulary": vocabulary_of(folder),
                "phones": list(BASE_PHONES),
                "corpora": corpora,
                "figures": figures,
                "recipe_commit": recipe_commit(),
            }
        )
    )
    (folder / MANIFEST).write_text(manifest.model_dump_json(indent=1) + "\n", encoding="utf-8")
    return manifest


def rewrite_manifest(
    folder: Path, version: str, status: str, corpora_file: Path | None, figures_file: Path | None
) -> None:
    """Corpora and figures: of these files, else those of the present manifest."""
    old = json.loads(text) if (text := _read(folder / MANIFEST)) else {"corpora": [], "figures": {}}
    corpora = json.loads(_read(corpora_file)) if corpora_file else old["corpora"]
    figures = json.loads(_read(figures_file)) if figures_file else old["figures"]
    manifest = write_manifest(folder, version, status, corpora, figures)
    print(f"{folder / MANIFEST}: {manifest.name} {manifest.version}, {len(manifest.files)} files")


def main() -> None:
    parser = argparse.ArgumentParser(description="write a model folder's manifest")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--version", required=True)
    parser.add_argument("--status", choices=("proof", "release"), required=True)
    parser.add_argument("--corpora", type=Path)
    parser.add_argument("--figures", type=Path)
    choice = parser.parse_args()
    rewrite_manifest(choice.folder, choice.version, choice.status, choice.corpora, choice.figures)


def _read(path: Path) -> str:
    return path.read_text(encoding="utf-8") if path.exists() else ""


if __name__ == "__main__":
    main()
