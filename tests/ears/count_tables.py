"""Counts of swings as tables: by trouble, by speaker, with what can be claimed of silent wrong values. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Sequence
from statistics import median

from count_takes import NOT_COUNTED, Take, Trouble

Row = tuple[Take, str, str, list[float], float | None]
"""A take, what became of it, why it was asked, seconds from each word's end until it showed, until it was closed."""
KINDS = ("right", "asked", "refused", "nothing", "wrong")


def tables(rows: Sequence[Row]) -> str:
    """All of them."""
    clear = [row for row in rows if row[0].trouble not in NOT_COUNTED]
    asked = Counter(why for _, verdict, why, _, _ in clear if verdict == "asked")
    shown = sorted(s for row in rows for s in row[3])
    closed = [row[4] for row in rows if row[0].trouble is Trouble.NONE and row[4] is not None]
    parts = [
        _table("by trouble", rows, lambda take: take.trouble.value),
        _table("clean", [r for r in rows if r[0].trouble is Trouble.NONE], _named),
        _table("by note (troubles with one right total)", clear, _named),
        _table("by speaker (the same)", clear, lambda take: take.speaker),
        "asked because: " + ", ".join(f"{why} {n}" for why, n in asked.most_common()),
        _claim(clear),
    ]
    if shown:
        parts.append(
            f"{len(shown)} numbers shown after the word's end: median {median(shown):.2f} s, "
            f"90 % {shown[int(0.9 * len(shown))]:.2f} s"
        )
    if closed:
        parts.append(f"clean counts closed after the last word: median {median(closed):.2f} s")
    return "\n\n".join(parts)


def _named(take: Take) -> str:
    return "note said" if take.note else "no note"


def _table(title: str, rows: Sequence[Row], by: Callable[[Take], Hashable]) -> str:
    lines = [f"{title:28} {'counts':>6} " + " ".join(f"{kind:>9}" for kind in KINDS)]
    for group in dict.fromkeys(by(row[0]) for row in rows):
        found = [row[1] for row in rows if by(row[0]) == group]
        shares = " ".join(f"{found.count(kind):>4} {found.count(kind) / len(found):>4.0%}" for kind in KINDS)
        lines.append(f"{group!s:28} {len(found):>6} {shares}")
    return "\n".join(lines)


def _claim(rows: Sequence[Row]) -> str:
    """Silent wrong values with their upper bounds, one-sided 95 %: by counts, as if all were independent, and by
    speakers, one of whom counts as wrong for a single wrong count."""
    wrong = sum(row[1] == "wrong" for row in rows)
    speakers = {row[0].speaker for row in rows}
    amiss = {row[0].speaker for row in rows if row[1] == "wrong"}
    return (
        f"silently wrong: {wrong} of {len(rows)} counts (at most {upper(wrong, len(rows)):.2%}), "
        f"{len(amiss)} of {len(speakers)} speakers (at most {upper(len(amiss), len(speakers)):.0%} of speakers)"
    )


def upper(found: int, of: int, chance: float = 0.05) -> float:
    """Exact binomial upper bound (Clopper and Pearson), one-sided: 0 of 300 is 0.009936 (CHECKS 6.6)."""
    from scipy.stats import beta

    return 1.0 if found >= of else float(beta.ppf(1 - chance, found + 1, of - found))
