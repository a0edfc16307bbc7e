"""Screenshots without what changes from run to run or points to the network.

The exporter names its classes at random and fetches a font from a server; a picture in a README must do neither. It
is drawn in whatever fixed-width font the reader has.
"""

from __future__ import annotations

import re

_FONT_FACE = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)
_CREDIT = re.compile(r"<!--.*?-->\s*", re.DOTALL)
_UNIQUE = re.compile(r"\bterminal-\d+-")
_FAMILY = re.compile(r"font-family: Fira Code, monospace")


def tidy(svg: str) -> str:
    """The exporter's SVG, the same for the same screen, and whole without a network."""
    svg = _CREDIT.sub("", _FONT_FACE.sub("", svg))
    svg = _UNIQUE.sub("handsfree-", svg)
    svg = _FAMILY.sub("font-family: ui-monospace, 'DejaVu Sans Mono', monospace", svg)
    return "\n".join(row.rstrip() for row in svg.splitlines()) + "\n"
