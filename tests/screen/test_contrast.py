"""Light and dark: every role stands out from every ground it stands on.

Relative luminance and contrast ratio as defined by WCAG 2.2 (W3C Recommendation), success criterion 1.4.3: 4.5 to 1
for text at level AA. The formula's constants from memory.
"""

from __future__ import annotations

import pytest

from handsfree.screen.styled import Role
from handsfree.screen.themes import GROUNDS, ROLES


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_itself() -> None:
    # black on white is 21 to 1 by definition; #767676 is the lightest grey that passes on white (from memory)
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert 4.5 <= contrast("#767676", "#ffffff") < 4.6


@pytest.mark.parametrize("name", list(ROLES))
@pytest.mark.parametrize("role", list(Role))
def test_text_is_aa(name: str, role: Role) -> None:
    for ground in GROUNDS[name]:
        assert contrast(ROLES[name][role], ground) >= 4.5, (name, role, ground)
