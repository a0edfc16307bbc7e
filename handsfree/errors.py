"""Every error a user can meet, in one tree, and the exit code each one ends with.

HandsfreeError
├── BadUsage            2   a command line or a spoken setting that makes no sense
├── BadSettings         2   the settings file cannot be read
├── NoModel             3   the recogniser's model is missing or altered
├── NoSound             4   an audio file cannot be read, or holds nothing
├── NoMicrophone        4   no input device, or it is busy or gone
├── JournalUnreadable   5   not a journal, broken, or from a newer version
├── JournalBusy         5   another handsfree holds this journal
├── DiskTrouble         5   full, read-only, or no such folder
└── BadTable            6   a CSV from elsewhere that cannot be read as readings

Wrong *data* is never an exception here: a doubtful value is a `Doubt`, a sentence that is none is a `Puzzle`
(see nouns). Each message is one line and ends with what to do next, since the reader's hands are in a piano.
"""

from __future__ import annotations


class HandsfreeError(Exception):
    """Base of all; `exit_code` is what the command ends with."""

    exit_code = 1

    def __init__(self, problem: str, *, do: str) -> None:
        """`problem`: what is wrong, with the name of the thing; `do`: what to do next, as a sentence."""
        super().__init__(f"{problem}. {do}")
        self.problem = problem
        self.do = do


class BadUsage(HandsfreeError):
    exit_code = 2


class BadSettings(HandsfreeError):
    exit_code = 2


class NoModel(HandsfreeError):
    exit_code = 3


class NoSound(HandsfreeError):
    exit_code = 4


class NoMicrophone(HandsfreeError):
    exit_code = 4


class JournalUnreadable(HandsfreeError):
    exit_code = 5


class JournalBusy(HandsfreeError):
    exit_code = 5


class DiskTrouble(HandsfreeError):
    exit_code = 5


class BadTable(HandsfreeError):
    exit_code = 6
