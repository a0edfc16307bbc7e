"""The report as a buyer meets it: on paper, on a phone, on a desk; in a headless browser, where there is one."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.reports.test_paper import page_of, part, touch

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium here: the report is not looked at")

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip


def browse(folder: Path, page: str, *arguments: str) -> str:
    assert BROWSER is not None
    file = folder / "report.html"
    file.write_text(page, encoding="utf-8")
    command = [BROWSER, *FLAGS, f"--user-data-dir={folder / 'profile'}", *arguments, file.as_uri()]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=True)
    return done.stdout


@pytest.mark.parametrize("width", [360, 1280])
def test_nothing_sticks_out_sideways(tmp_path: Path, width: int) -> None:
    """Wide tables scroll by themselves; the page does not."""
    asks = "<script>document.title = document.documentElement.scrollWidth + ' of ' + innerWidth</script></body>"
    page = page_of(part(touch()), part(touch("1"))).replace("</body>", asks)
    dom = browse(tmp_path, page, f"--window-size={width},800", "--dump-dom")
    wide, of = map(int, re.findall(r"<title>(\d+) of (\d+)</title>", dom)[0])
    assert wide <= of


def test_it_prints_to_pages_of_paper(tmp_path: Path) -> None:
    pdfinfo = shutil.which("pdfinfo")
    if pdfinfo is None:
        pytest.skip("no pdfinfo on this machine: the printed pages are not looked at")
    paper = tmp_path / "report.pdf"
    browse(tmp_path, page_of(part(touch())), f"--print-to-pdf={paper}", "--no-pdf-header-footer")
    told = subprocess.run([pdfinfo, str(paper)], capture_output=True, text=True, check=True).stdout
    pages = int(re.findall(r"Pages:\s+(\d+)", told)[0])
    assert 2 <= pages <= 12
    assert re.search(r"Page size:\s+(612 x 792|59\d(\.\d+)? x 84\d)", told)  # Letter or A4, points
