"""A table that grows beside the pass: whoever looks on sees whole rows, at any moment."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from pathlib import Path

import pytest

from handsfree.reports.csv_out import TIDY_COLUMNS


@pytest.fixture
def environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.delenv("HANDSFREE_SETTINGS", raising=False)


def listening(journal: Path, follow: Path) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "handsfree", "listen", "--typed", "--plain", "--journal", str(journal),
               "--follow", str(follow), "--plan", "every"]  # fmt: skip
    pipe = subprocess.PIPE
    return subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, text=True)


def rows(content: bytes) -> list[list[str]]:
    """Strictly as RFC 4180: a half row would not have all fields, a half line no end."""
    assert content.endswith(b"\r\n")
    found = list(csv.reader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))
    assert all(len(row) == len(TIDY_COLUMNS) for row in found)
    return found


@pytest.mark.usefixtures("environment")
def test_it_is_whole_whenever_somebody_looks(tmp_path: Path) -> None:
    table = tmp_path / "live.csv"
    lengths = []
    with listening(tmp_path / "j", table) as process:
        assert process.stdin
        assert process.stdout
        for key in range(1, 41):
            process.stdin.write(f"{50 + key % 3} {26 - key % 2}\n")
            process.stdin.flush()
            if table.exists():  # while it works on the line
                lengths.append(len(rows(table.read_bytes())))
            assert process.stdout.readline()
            lengths.append(len(rows(table.read_bytes())))  # the turn is told first, then the table written
        process.stdin.close()
    assert process.returncode == 0
    lengths.append(len(rows(table.read_bytes())))
    assert lengths == sorted(lengths), "it only grows"
    assert lengths[-1] == 1 + 2 * 40
    assert not list(tmp_path.glob("*.half"))


@pytest.mark.usefixtures("environment")
def test_trouble_with_the_file_never_stops_the_pass(tmp_path: Path) -> None:
    with listening(tmp_path / "j", tmp_path / "no such folder" / "live.csv") as process:
        assert process.stdin
        assert process.stdout
        assert process.stderr
        process.stdin.write("50 26\n51 27\n")
        process.stdin.close()
        assert len(process.stdout.read().splitlines()) == 2
        assert "cannot write" in process.stderr.read()
    assert process.returncode == 0
