"""The phone set: what the acoustic model can tell apart, and how phones map to the network's outputs.

39 phones of the CMU pronouncing dictionary (ARPAbet without stress), SIL for silence and SPN for speech that is none
of our business (the garbage phone behind `[unk]`). All but SIL are position dependent (_B begin, _E end, _I inside a
word, _S a word of its own), because Vosk finds word boundaries through the positions. Positions share their pdfs: one
pdf for entering a phone (forward), one for staying in it (self-loop), the one-state topology of Kaldi's "chain"
models.
"""

from collections.abc import Sequence

CMU_PHONES = tuple(
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split()
)
SILENCE = "SIL"
GARBAGE = "SPN"
BASE_PHONES = (SILENCE, GARBAGE, *CMU_PHONES)
POSITIONS = "BEIS"

PHONE_NAMES = (SILENCE, *(f"{base}_{position}" for base in BASE_PHONES[1:] for position in POSITIONS))
"""Position-dependent phones; the id of a phone is its place in this tuple plus 1 (id 0 is epsilon)."""

PHONE_IDS = {name: index + 1 for index, name in enumerate(PHONE_NAMES)}
PHONE_COUNT = len(PHONE_NAMES)
PDF_COUNT = 2 * len(BASE_PHONES)
TRANSITION_COUNT = 2 * PHONE_COUNT

GARBAGE_PRONUNCIATION = (GARBAGE, GARBAGE, GARBAGE)
"""`[unk]` lasts at least three output frames (0.09 s)."""


def base_phone(name: str) -> str:
    """'EY_B' -> 'EY'."""
    return name.partition("_")[0]


def with_positions(pronunciation: Sequence[str]) -> tuple[str, ...]:
    """Base phones of one word -> position-dependent names: ('F', 'AO', 'R') -> ('F_B', 'AO_I', 'R_E')."""
    if not pronunciation:
        raise ValueError("a word needs at least one phone")
    if len(pronunciation) == 1:
        return (f"{pronunciation[0]}_S",)
    inner = tuple(f"{phone}_I" for phone in pronunciation[1:-1])
    return (f"{pronunciation[0]}_B", *inner, f"{pronunciation[-1]}_E")


def forward_pdf(phone_id: int) -> int:
    """Output of the network (0-based) for the first frame of this phone."""
    return 2 * BASE_PHONES.index(base_phone(PHONE_NAMES[phone_id - 1]))


def loop_pdf(phone_id: int) -> int:
    """Output of the network (0-based) for each further frame of this phone."""
    return forward_pdf(phone_id) + 1


def loop_transition(phone_id: int) -> int:
    """Kaldi transition id (1-based) of the self-loop."""
    return 2 * phone_id - 1


def forward_transition(phone_id: int) -> int:
    """Kaldi transition id (1-based) of the arc that leaves the phone's only state and carries the forward pdf."""
    return 2 * phone_id


def word_boundary_kind(name: str) -> str:
    """What Kaldi's word_boundary.int calls this phone's position."""
    if name == SILENCE:
        return "nonword"
    return {"B": "begin", "E": "end", "I": "internal", "S": "singleton"}[name[-1]]
