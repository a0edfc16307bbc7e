"""Whether the recordings of a sitting still say what its journal says: each is heard once more.

With the model that heard it then, the same recording gives the same words; another model may hear otherwise without
anybody having touched anything, and is named.
"""

from __future__ import annotations

from handsfree.ears.alternatives import without_begun
from handsfree.ears.attempt import BEGUN_JUST_NOW
from handsfree.ears.blocks import BLOCK_BYTES, RATE
from handsfree.ears.recogniser import Recogniser
from handsfree.hearing import Hearing
from handsfree.journal.clips import read_clip
from handsfree.journal.reader import HeardLine, JournalReader
from handsfree.nouns import Context, Sitting
from handsfree.verifying import Verdict

SHOWN = 8
"""Recordings that are named one by one; of more it is said how many."""


def sound_verdict(journal: JournalReader, sitting: Sitting, ears: Hearing) -> Verdict:
    """On all recordings that a fact of the sitting came from. Remarks are no words to the tool."""
    used = {kept.heard_n for kept in journal.facts(sitting.id)}
    lines = [
        line
        for line in journal.heard_lines(sitting.id)
        if line.n in used and line.clip is not None and line.heard.context is not Context.REMARK
    ]
    other = [told for line in lines if (told := _otherwise(journal, line, ears.recogniser))]
    known = sitting.model == ears.name
    by = "" if known else f" by {ears.name}, which did not hear them then"
    what = f"sitting {sitting.id}, the sound: {len(lines) - len(other)} of {len(lines)} recordings say the same{by}"
    more = [f"and {len(other) - SHOWN} more"] if len(other) > SHOWN else []
    return Verdict(not other or not known, "; ".join([what, *other[:SHOWN], *more]))


def _otherwise(journal: JournalReader, line: HeardLine, recogniser: Recogniser) -> str:
    """What is heard now, "" where it is the same."""
    try:
        pcm, rate = read_clip(journal.clips_folder / (line.clip or ""))
    except OSError:
        return f"{line.clip} cannot be read"
    if rate != RATE:
        return f"{line.clip} is not as it was recorded"
    decoding = recogniser.begin(line.heard.context)
    for at in range(0, len(pcm), BLOCK_BYTES):
        decoding.accept(pcm[at : at + BLOCK_BYTES])
    found = decoding.finish()
    begun = len(pcm) / (2 * RATE) - BEGUN_JUST_NOW  # words that began there belonged to what was said next
    now = found[0].text
    if line.heard.text in (now, without_begun(found, begun)[0].text):
        return ""
    return f"{line.clip} says “{now}”, the journal “{line.heard.text}”"
