"""One writer a journal: a lock file beside it that the system lets go by itself when its holder dies."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from handsfree.errors import DiskTrouble, JournalBusy

if sys.platform == "win32":
    import msvcrt

    def _take(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _take(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class JournalLock:
    """Held from construction until `release`."""

    def __init__(self, journal: Path) -> None:
        """Raises JournalBusy when someone holds it, DiskTrouble when no lock file can be made."""
        self._path = journal.with_name(journal.name + ".lock")
        self._handle = self._hold(journal)

    def _hold(self, journal: Path) -> int:
        while True:
            try:
                handle = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o644)
            except OSError as error:
                raise DiskTrouble(
                    f"cannot write beside {journal} ({error.strerror})",
                    do="Choose a folder that you may write to with --journal.",
                ) from error
            try:
                _take(handle)
            except OSError:
                os.close(handle)
                raise JournalBusy(
                    f"{journal} is in use by another handsfree",
                    do="Close that one first, or name another file with --journal.",
                ) from None
            # the holder before may have removed the file between our opening and our locking it
            if self._is_current(handle):
                return handle
            os.close(handle)

    def _is_current(self, handle: int) -> bool:
        try:
            return os.path.samestat(os.fstat(handle), os.stat(self._path))
        except OSError:
            return False

    def release(self) -> None:
        """Let go; a second call does nothing."""
        if self._handle < 0:
            return
        if sys.platform != "win32":
            self._path.unlink(missing_ok=True)
        os.close(self._handle)
        self._handle = -1
