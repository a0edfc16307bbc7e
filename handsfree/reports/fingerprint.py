"""A hash over the facts of a sitting: printed in a report, it shows later that nothing was touched since.

Each fact goes in with its number, its time, the words heard, its kind and its body as the journal stores them, as one
line of JSON (`fact_lines` of the journal's reader), so that anybody can work the hash out again from the journal.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable

from handsfree.nouns import Sitting

ALGORITHM = "sha256"


def sitting_line(sitting: Sitting) -> str:
    """Which sitting, of what, and how it was measured."""
    return json.dumps(
        [sitting.id, sitting.instrument, sitting.opened_at, dict(sitting.settings)],
        ensure_ascii=False, sort_keys=True, separators=(",", ":"),
    )  # fmt: skip


def fingerprint(sitting: Sitting, lines: Iterable[str]) -> str:
    """64 hexadecimal digits; `lines`: one a fact."""
    total = hashlib.new(ALGORITHM)
    for line in [sitting_line(sitting), *lines]:
        total.update(line.encode("utf-8", "surrogatepass") + b"\n")
    return total.hexdigest()
