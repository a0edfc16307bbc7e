"""The house rules: who may import whom, what a room may not be named, what `--help` may not load."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

import handsfree

PACKAGE = Path(handsfree.__file__).parent

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"
COMMON = {"nouns", "errors"}
ALLOWED: dict[str, set[str]] = {
    "ears": set(),
    "words": {"reckoning"},
    "reckoning": set(),
    "judgement": {"reckoning"},
    "journal": set(),
    "voice": {"words"},
    "reports": {"reckoning", "words"},
    "screen": {"reports", "reckoning", "words"},
}
"""Room -> the other rooms it may import from, beyond nouns and errors. Only the files that lie outside of the
rooms (session, cli and the commands) join them."""

AT_THE_MACHINE: dict[str, set[str]] = {
    "ears": {"clock", "dictation", "listening", "microphone", "model_folder", "recogniser", "source"},
    "journal": {"clips", "database", "lock", "reader", "rescue", "schema", "store"},
    "voice": {"espeak", "playing", "speaker"},
    "screen": {
        "app", "board", "messages", "mouth", "picture", "remarks_app", "table", "terminal", "themes", "typed_line",
        "views",
    },
}  # fmt: skip
"""Room -> its files that touch the machine. All others of all rooms are pure."""
MACHINE = {
    "vosk", "sounddevice", "textual", "soundfile", "sqlite3", "threading", "time", "random", "logging", "os", "io",
    "subprocess", "shutil", "tempfile", "socket", "urllib", "webbrowser", "signal", "platform",
}  # fmt: skip
"""What a pure file may not touch: vendors, disk, threads, clock, chance."""


def python_files() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def imported(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def room_of(path: Path) -> str | None:
    parts = path.relative_to(PACKAGE).parts
    return parts[0] if len(parts) > 1 else None


@pytest.mark.parametrize("path", python_files(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_a_room_imports_only_what_the_table_allows(path: Path) -> None:
    room = room_of(path)
    if room is None or room not in ALLOWED:
        return
    for name in imported(path):
        parts = name.split(".")
        if parts[0] != "handsfree" or len(parts) < 2:
            continue
        assert parts[1] in COMMON | ALLOWED[room] | {room}, f"{room} may not import {name}"


@pytest.mark.parametrize("path", python_files(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_only_the_files_at_the_machine_touch_it(path: Path) -> None:
    room = room_of(path)
    if room is None:
        return
    touched = {name.split(".")[0] for name in imported(path)} & MACHINE
    # csv writes through an in-memory text buffer: no disk is touched
    if room == "reports":
        touched -= {"io"}
    assert bool(touched) == (path.stem in AT_THE_MACHINE.get(room, set())), f"{path} touches {touched}"


def table(heading: str) -> list[list[list[str]]]:
    """The names in code type, by rows and columns, of the table in DEVELOPERS.md whose first line this is."""
    lines = DEVELOPERS.read_text(encoding="utf-8").splitlines()
    rows = lines[lines.index(heading) + 2 :]
    rows = rows[: next((n for n, row in enumerate(rows) if not row.startswith("|")), len(rows))]
    return [[re.findall(r"`([^`]+)`", cell) for cell in row.strip("|").split("|")] for row in rows]


def test_the_table_of_the_rooms_is_true() -> None:
    rows = table("| room | what happens there | may use | touches the machine in | begin at |")
    rooms = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert {name for (name,), *_ in rows} == rooms
    for (name,), _, may_use, machine, begin in rows:
        assert set(may_use) == ALLOWED.get(name, set()), name
        assert set(machine) == AT_THE_MACHINE.get(name, set()), name
        assert all((PACKAGE / name / f"{file}.py").is_file() for file in begin), name


def test_every_file_that_lies_in_no_room_is_in_the_table() -> None:
    named = [name for files, _ in table("| files | what for |") for name in files]
    files = {path.stem for path in PACKAGE.glob("*.py")} - {"__init__", "__main__"}
    assert {file for file in files if sum(fnmatch(file, name) for name in named) != 1} == set()
    assert all(any(fnmatch(file, name) for file in files) for name in named)


def test_nouns_import_nothing_of_ours() -> None:
    for path in (PACKAGE / "nouns").glob("*.py"):
        assert not [n for n in imported(path) if n.startswith("handsfree") and not n.startswith("handsfree.nouns.")]


def test_nouns_are_one_page() -> None:
    """They are imported from the folder, so that nobody needs to know in which of its files a noun stands."""
    pages = {path.stem for path in (PACKAGE / "nouns").glob("*.py")}
    for path in python_files():
        if room_of(path) != "nouns":
            named = {n.split(".")[2] for n in imported(path) if n.startswith("handsfree.nouns.")}
            assert not named & pages, path


def test_no_name_shadows_the_standard_library() -> None:
    names = {p.stem for p in python_files()} | {p.parent.name for p in python_files()}
    assert not names & (sys.stdlib_module_names - {"__main__", "__init__", "handsfree"})


def test_help_loads_no_vendor() -> None:
    """`--help` must be instant: it may load neither Textual, Vosk, PortAudio, NumPy nor pydantic."""
    code = (
        "import sys\n"
        "from handsfree.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "heavy = {'textual', 'vosk', 'sounddevice', 'numpy', 'pydantic', 'soundfile', 'soxr', 'sqlite3'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"
    assert "listen" in done.stdout


def test_top_level_is_fixed() -> None:
    top = Path(__file__).parents[2]
    if not (top / ".git").exists():
        pytest.skip("not a checkout: the top level is only fixed in the repository")
    done = subprocess.run(["git", "ls-files"], cwd=top, capture_output=True, text=True, check=True)
    names = {line.split("/")[0] for line in done.stdout.splitlines() if not line.startswith(".")}
    assert names <= {"README.md", "DEVELOPERS.md", "pyproject.toml", "handsfree", "models", "tests", "demo"}
