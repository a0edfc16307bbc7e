"""A tidy table that grows while the pass runs, for whoever looks on: always whole, never half a row."""

from __future__ import annotations

from handsfree.errors import DiskTrouble
from handsfree.export_command import write_whole
from handsfree.nouns import Sitting
from handsfree.reports.csv_out import tidy
from handsfree.session import Session


class LiveExport:
    """Writes the file anew when something has been kept."""

    def __init__(self, file: str, sitting: Sitting, session: Session) -> None:
        self._file = file
        self._sitting = sitting
        self._session = session
        self._written = -1

    def write(self) -> str:
        """One line of trouble, "" = none; trouble with this file never stops the pass."""
        last_n = self._session.sheet.last_n
        if last_n == self._written:
            return ""
        try:
            write_whole(self._file, tidy(self._session.sheet, self._sitting))
        except DiskTrouble as trouble:
            return str(trouble)
        self._written = last_n
        return ""
