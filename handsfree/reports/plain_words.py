"""The first thing that a buyer reads: what is good, what is not, what was not looked at; and what the words mean.

Whoever reads it may never have seen a piano's action.
"""

from __future__ import annotations

from handsfree.nouns import Walk
from handsfree.reckoning.compass import counted, grams
from handsfree.reckoning.results import Figures, Verdict
from handsfree.reports.markup import Markup, join, tag, text
from handsfree.reports.tables import LEFT_OPEN, table, verdict
from handsfree.reports.walk_csv import not_looked_at
from handsfree.words import parts

KEYS_OF_A_PIANO = 88

MEANS = {
    Verdict.FRICTION: "something rubs more than it should; usually eased without touching weights",
    Verdict.WEIGHT: "heavy although little rubs: weights, leverage or springs, costlier to change than friction",
    Verdict.BOTH: "friction and weight or leverage, or too close to tell them apart",
    Verdict.LIGHT_SLOW: "goes down easily, comes back slowly",
    Verdict.LIGHT: "goes down more easily than is usual, and comes back",
    Verdict.LOOSE: "rubs less than it should, or the hammer swings too freely: a joint may be worn",
    Verdict.FINE: "nothing to do",
    Verdict.UNKNOWN: "not enough was measured to tell",
    Verdict.DOUBTFUL: "two readings contradict each other; to be measured again",
}

WORDS = (
    ("Down weight", "the weight that, laid on a key, just sinks it: how heavy the key feels."),
    ("Up weight", "the weight that the returning key just lifts: how readily it comes back."),
    ("Friction", "half the difference of the two: what rubs. It can usually be eased."),
    ("Balance", "half their sum: what the key weighs without friction. It is set by weights and leverage."),
    ("Swings", "how often a hammer, let fall, swings before it rests: few means that its joint is tight."),
)


def summary(figures: Figures, walk: Walk, unanswered: int = 0) -> Markup:
    """Good, not good, not looked at. `unanswered`: values that were asked about and never settled."""
    return join(
        _lead(figures),
        _box("Good.", _good(figures, walk), "good"),
        _box("Not good.", _not_good(figures, walk), "bad"),
        _box("Not looked at.", [*_missing(figures, walk), *_unanswered(unanswered)], "open"),
        _verdicts(figures),
        tag("ul", *(tag("li", n) for n in figures.notes)) if figures.notes else None,
    )


def glossary() -> Markup:
    return tag("dl", *(tag(name, words) for word, means in WORDS for name, words in (("dt", word), ("dd", means))))


def _lead(figures: Figures) -> Markup:
    whole, wanted = figures.whole, figures.settings
    said = [f"{whole.keys_read} of {KEYS_OF_A_PIANO} keys were read."]
    if whole.down:
        low, high, most = (
            grams(v) for v in (wanted.down_ideal_low, wanted.down_ideal_high, wanted.down_acceptable)
        )
        said.append(
            f"Half of them take {grams(whole.down.median)} g or more to go down; {low} to {high} g is taken for "
            f"ideal, up to {most} g for acceptable."
        )
    return tag("p", " ".join(said), class_="lead")


def _good(figures: Figures, walk: Walk) -> list[str]:
    fine = dict(figures.whole.verdicts).get(Verdict.FINE, 0)
    said = [f"The touch of {counted(fine, 'key')} is fine."] if fine else []
    if figures.evenness.within is not None and not figures.evenness.stand_out:
        said.append(figures.evenness.sentence)
    return [*said, *_found("In good or lightly worn condition", _graded(walk, parts.GOOD, parts.LIGHT_WEAR))]


def _not_good(figures: Figures, walk: Walk) -> list[str]:
    """What may be dear or dangerous comes first."""
    called = [(v, n) for v, n in figures.whole.verdicts if v not in LEFT_OPEN]
    said = _found("Failing or unsafe", _graded(walk, parts.FAILING, parts.UNSAFE))
    if called:
        shares = ", ".join(f"{n} {v.value}" for v, n in called)
        said.append(f"The touch of {counted(sum(n for _, n in called), 'key')} calls for attention: {shares}.")
    if figures.evenness.stand_out:
        said.append(figures.evenness.sentence)
    ungraded = [_named(i.finding.part, i.finding.finding, i.finding.place) for i in walk.stands
                if i.finding.grade is None]  # fmt: skip
    return [*said, *_found("Worn", _graded(walk, parts.WORN, parts.WORN)), *_found("Found, not graded", ungraded)]


def _found(how: str, what: list[str]) -> list[str]:
    return [f"{how}: {', '.join(what)}."] if what else []


def _missing(figures: Figures, walk: Walk) -> list[str]:
    unread = KEYS_OF_A_PIANO - figures.whole.keys_read
    said = [f"{counted(unread, 'key')} not read; nothing is claimed of them."] if unread else []
    if not figures.whole.swings:
        said.append("The hammers were not let swing; the flanges were not looked at that way.")
    missing = not_looked_at(walk)
    if not any(i.finding.grade != parts.NOT_LOOKED_AT for i in walk.stands):
        said.append("The instrument was not walked round; nothing is claimed of its condition.")
    elif missing:
        said.append(f"{counted(len(missing), 'part')} of the instrument, listed under its condition.")
    return said


def _unanswered(values: int) -> list[str]:
    if not values:
        return []
    word = "was" if values == 1 else "were"
    return [f"{counted(values, 'value')} {word} doubtful, asked about and not answered: in no figure."]


def _graded(walk: Walk, low: int, high: int) -> list[str]:
    found = [i.finding for i in walk.stands if i.finding.grade is not None and low <= i.finding.grade <= high]
    return list(dict.fromkeys(_named(f.part, "" if f.finding == "good" else f.finding, f.place) for f in found))


def _named(part: str, finding: str, place: str) -> str:
    return " ".join(filter(None, (part, finding, f"({place})" if place else "")))


def _box(title: str, sentences: list[str], kind: str) -> Markup | None:
    if not sentences:
        return None
    many = len(sentences) > 1
    said = tag("ul", *(tag("li", one) for one in sentences)) if many else text(f" {sentences[0]}")
    return tag("div", tag("strong", title), said, class_=f"box {kind}")


def _verdicts(figures: Figures) -> Markup | None:
    if not figures.whole.verdicts:
        return None
    rows = [(verdict(v), str(n), MEANS[v]) for v, n in figures.whole.verdicts]
    return table("What the verdicts on the keys mean", ("Verdict", "Keys", "Meaning"), rows, (1,))
