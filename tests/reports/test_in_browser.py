"""The report as a buyer meets it: on paper, on a phone, on a desk, light and dark; in a headless browser, where there
is one."""

from __future__ import annotations

import html
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.reports.browser import Browser
from tests.reports.full import one_page, two_pages

PROGRAM = shutil.which("chromium") or shutil.which("chromium-browser")
PDFINFO, PDFTOTEXT = shutil.which("pdfinfo"), shutil.which("pdftotext")
pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no Chromium here: the report is not looked at")
paper_tools = pytest.mark.skipif(
    PDFINFO is None or PDFTOTEXT is None, reason="no pdfinfo and pdftotext here: the printed pages are not looked at"
)

PAGES = {
    "one": one_page(),
    "before and after": two_pages("before and after"),
    "two instruments": two_pages("two instruments"),
}
A4, LETTER = (8.27, 11.69), (8.5, 11.0)
"""Inches: ISO 216 A4 is 210 mm by 297 mm; Letter 8.5 in by 11 in (from memory)."""

CONTRASTS = """(() => {
  const canvas = document.createElement('canvas').getContext('2d', {willReadFrequently: true});
  const rgba = c => { canvas.clearRect(0, 0, 1, 1); canvas.fillStyle = c; canvas.fillRect(0, 0, 1, 1);
                      return canvas.getImageData(0, 0, 1, 1).data; };
  const light = c => { const [r, g, b] = [...rgba(c)].map(v => v / 255)
                         .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
                       return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ground = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor;
                          if (rgba(c)[3] > 0) return c; } return 'white'; };
  const worst = [];
  for (const e of document.querySelectorAll('main *')) {
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (!own || ['TITLE', 'title', 'desc'].includes(e.tagName)) continue;
    const style = getComputedStyle(e), ink = e.ownerSVGElement ? style.fill : style.color;
    const [one, two] = [light(ink), light(ground(e.ownerSVGElement ?? e))].sort((a, b) => b - a);
    worst.push([(one + 0.05) / (two + 0.05), e.tagName + ' ' + e.textContent.slice(0, 30)]);
  }
  worst.sort((a, b) => a[0] - b[0]);
  return [worst.length, ...worst[0]];
})()"""
"""How many elements have text of their own, and the worst contrast among them by WCAG 2 (from memory)."""


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    assert PROGRAM is not None
    with Browser(PROGRAM, tmp_path_factory.mktemp("browser")) as one:
        yield one


@pytest.mark.parametrize("width", [320, 360, 1280])
@pytest.mark.parametrize("page", PAGES)
def test_nothing_sticks_out_sideways(browser: Browser, page: str, width: int) -> None:
    """Wide tables scroll by themselves; the page does not. 320 CSS pixels: WCAG 2 success criterion 1.4.10 (from
    memory)."""
    browser.prefer()
    browser.show(PAGES[page], width)
    assert browser.evaluate("document.documentElement.scrollWidth") <= width


def test_on_a_phone_the_figures_of_a_key_are_seen_without_scrolling(browser: Browser) -> None:
    browser.prefer()
    browser.show(PAGES["one"], 360)
    wide = "[...document.querySelectorAll('.wide')].filter(d => d.scrollWidth > d.clientWidth + 1)"
    captions = browser.evaluate(f"{wide}.map(d => d.querySelector('caption').textContent)")
    assert "Every key that was read" not in captions
    assert not any(c.startswith(("Key figures", "Sections", "What the verdicts")) for c in captions)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("page", PAGES)
def test_all_text_has_the_contrast_of_wcag_aa(browser: Browser, page: str, scheme: str) -> None:
    """4.5 to 1, WCAG 2 success criterion 1.4.3 (from memory), of what the browser really shows."""
    browser.prefer(prefers_color_scheme=scheme)
    browser.show(PAGES[page])
    elements, contrast, where = browser.evaluate(CONTRASTS)
    assert elements > 300
    assert contrast >= 4.5, where


def test_dark_is_dark_and_paper_is_not(browser: Browser) -> None:
    ground = "getComputedStyle(document.body).backgroundColor"
    browser.prefer(prefers_color_scheme="dark")
    browser.show(PAGES["one"])
    assert browser.evaluate(ground) == "rgb(21, 25, 28)"
    browser.prefer("print", prefers_color_scheme="dark")
    assert browser.evaluate(ground) == "rgba(0, 0, 0, 0)"
    assert browser.evaluate("getComputedStyle(document.body).color") == "rgb(29, 35, 39)"


def test_with_forced_colours_the_curves_are_drawn_in_them(browser: Browser) -> None:
    """A stroke of ours on somebody's ground could vanish."""
    stroke = "getComputedStyle(document.querySelector('.l')).stroke"
    text = "getComputedStyle(document.body).color"
    for scheme in ("light", "dark"):
        browser.prefer(forced_colors="active", prefers_color_scheme=scheme)
        browser.show(PAGES["one"])
        assert browser.evaluate(stroke) == browser.evaluate(text)


def test_no_text_of_a_plot_lies_over_another(browser: Browser) -> None:
    overlaps = """(() => { const found = [];
      for (const svg of document.querySelectorAll('svg[role=img]')) {
        const boxes = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
        const over = (p, q) => p.left < q.right && q.left < p.right && p.top + 2 < q.bottom && q.top + 2 < p.bottom;
        boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => { if (over(p, q)) found.push([a, b]); }));
      }
      return found; })()"""
    browser.prefer()
    for width in (360, 1280):
        browser.show(PAGES["one"], width)
        assert browser.evaluate(overlaps) == []


# ---------------------------------------------------------------- on paper


def told(tool: str | None, *arguments: str) -> str:
    assert tool is not None
    return subprocess.run([tool, *arguments], capture_output=True, text=True, check=True).stdout


@paper_tools
@pytest.mark.parametrize(("paper", "points"), [(A4, (595, 842)), (LETTER, (612, 792))], ids=["A4", "Letter"])
@pytest.mark.parametrize("page", PAGES)
def test_it_prints_to_either_paper(
    browser: Browser, tmp_path: Path, page: str, paper: tuple[float, float], points: tuple[int, int]
) -> None:
    """Points of 1/72 inch. No heading stands alone at the end of a page, and a table that goes on says again what its
    columns are."""
    browser.prefer()
    browser.show(PAGES[page])
    file = tmp_path / "report.pdf"
    file.write_bytes(browser.printed(*paper))
    wide, high = re.findall(r"Page size:\s+([\d.]+) x ([\d.]+)", told(PDFINFO, str(file)))[0]
    assert (float(wide), float(high)) == pytest.approx(points, abs=1.5)
    sheets = [s for s in told(PDFTOTEXT, "-layout", str(file), "-").split("\f") if s.strip()]
    assert 8 <= len(sheets) <= 60
    headings = {" ".join(html.unescape(h).split()) for h in re.findall(r"<h[1-6][^>]*>([^<]*)<", PAGES[page])}
    for number, sheet in enumerate(sheets, start=1):
        lines = [" ".join(line.split()) for line in sheet.splitlines() if line.strip()]
        assert lines.pop() == f"{number} / {len(sheets)}"
        assert lines[-1] not in headings, f"page {number} ends with a heading"
        if any(re.match(r"\d+ 09:30:00 [A-G]#?\d (down|up|swings)", line) for line in lines):
            assert "Words heard" in sheet, f"page {number} goes on without a head"
