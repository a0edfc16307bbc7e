"""Every type that crosses a room, in the order in which the data meets them. Read this first.

    sound --ears--> Heard --words--> Said --judgement--> Turn(facts, line) --journal--> Kept --fold--> Sheet
                                                                  |                                    |
                                                                voice                    screen, reckoning, reports

They stand in `heard`, `meant`, `decided` and `stands`, to be read in this order, and are imported from here. Rooms
know these nouns, not each other; `session.py` is where they meet. All are frozen: what has happened does not change,
a correction is a new fact that names the older one by its number.
"""

from handsfree.nouns.heard import (
    Alternative, Arc, Automaton, COUNTING, Completeness, Context, EarChanged, EarEvent, EarState, HIGHEST_KEY, Heard,
    LOWEST_KEY, Level, OTHER_TALK, Partial, Utterance, WALKING, Word,
)
from handsfree.nouns.meant import (
    Amount, Answer, Circumstance, Correction, Counted, Disregard, Finding, FindingCorrected, GoAhead, GoTo,
    InOneBreath, LeadMe, Move, NewSitting, Noted, OffKeyboard, PartNamed, Pass, PassWanted, Plan, PlanWanted, Puzzle,
    Quantity, ReadBack, ReadPart, Reading, RemarkBegun, RemarkSaid, Said, Same, SayAgain, StandBy,
)
from handsfree.nouns.decided import (
    Asked, Doubt, Earcon, Fact, FindingAsked, FindingTook, Led, Outcome, PassSet, PlanSet, Proposal, PutOff,
    Question, RemarkAwaited, RemarkKept, RemarkPlaced, RemarkTyped, Settled, Speech, Standing, StoodBy, Took,
    Turn, Went, WentAhead, WentTo, Withdrew,
)
from handsfree.nouns.stands import (
    Entry, Item, Kept, OpenFinding, OpenQuestion, Remark, Sheet, Sitting, Walk, asks_kind, context_of,
    humidities_noted, in_fahrenheit, noted_words, number_noted, walk_context_of,
)
