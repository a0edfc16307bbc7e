"""Light and dark, each with one colour a role.

Down, up, friction start from hues that colour-blind eyes tell apart (blue, orange, reddish purple), darkened or
lightened until each stands out from its ground by at least 4.5 to 1, the AA level for text. A test computes it.
"""

from __future__ import annotations

from textual.content import Content
from textual.theme import Theme

from handsfree.screen.styled import Line, Role

DARK, LIGHT = "handsfree-dark", "handsfree-light"

ROLES: dict[str, dict[Role, str]] = {
    DARK: {
        Role.PLAIN: "#e4e9ee",
        Role.STRONG: "#ffffff",
        Role.FAINT: "#9eabb8",
        Role.DOWN: "#56b4e9",
        Role.UP: "#f0a830",
        Role.FRICTION: "#d98cb8",
        Role.GOOD: "#4fd6a4",
        Role.ASK: "#f0e442",
        Role.BAD: "#ff9478",
    },
    LIGHT: {
        Role.PLAIN: "#1b2127",
        Role.STRONG: "#000000",
        Role.FAINT: "#525d68",
        Role.DOWN: "#005a94",
        Role.UP: "#8a4b00",
        Role.FRICTION: "#8f2f6a",
        Role.GOOD: "#00613f",
        Role.ASK: "#5b2fa0",
        Role.BAD: "#a8231b",
    },
}

GROUNDS: dict[str, tuple[str, str, str]] = {
    DARK: ("#0f1317", "#161c22", "#222b34"),
    LIGHT: ("#fbfcfd", "#f1f4f6", "#e2e8ed"),
}
"""Behind everything; behind the big letters and the table; behind the input, the header and the marked row."""


def theme(name: str) -> Theme:
    ground, surface, panel = GROUNDS[name]
    roles = ROLES[name]
    return Theme(
        name=name,
        primary=roles[Role.DOWN],
        secondary=roles[Role.FRICTION],
        accent=roles[Role.UP],
        success=roles[Role.GOOD],
        warning=roles[Role.ASK],
        error=roles[Role.BAD],
        foreground=roles[Role.PLAIN],
        background=ground,
        surface=surface,
        panel=panel,
        dark=name == DARK,
        variables={
            **{f"role-{role.value}": colour for role, colour in roles.items()},
            "footer-background": panel,
            "footer-key-background": panel,
            "footer-description-background": panel,
            "footer-key-foreground": roles[Role.STRONG],
            "footer-description-foreground": roles[Role.PLAIN],
            "input-cursor-background": roles[Role.STRONG],
            "input-cursor-foreground": ground,
            "scrollbar": roles[Role.FAINT],
            "scrollbar-background": surface,
        },
    )


def content(*lines: Line) -> Content:
    """Lines of roles as the shell draws them; colours are looked up when drawn, so a change of theme just works."""
    drawn = [Content.assemble(*((text, _style(role)) for text, role in pieces)) for pieces in lines]
    return Content("\n").join(drawn)


def _style(role: Role) -> str:
    weight = "bold " if role in (Role.STRONG, Role.ASK, Role.BAD) else ""
    return f"{weight}$role-{role.value}"
