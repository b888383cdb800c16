"""The record of a class: one dated file, a line for each deed, kept for good."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import platformdirs

from app.classroom.kept import Kept, kept_of
from app.state.recovery.slot import Slot
from app.work.disk import disk
from model.files.atomic_write import SaveError, reason_of
from model.files.journal import ENDING, read_journal

NUMBER_DIGITS = 6


class ClassRecords:
    """The records of all classes in one folder, numbered and dated; one of them is written on."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or _state_folder() / "classes"
        # Whether the record gone on with had lost its tail, as after a kill in mid-line.
        self.was_torn = False
        # Whether another window is writing the record that was to be gone on with.
        self.is_elsewhere = False
        self._record: Slot | None = None
        self._head: dict[str, Any] = {}
        self._day = ""
        # What a full disk has refused is written with what comes next.
        self._pending: list[dict[str, Any]] = []
        # When the last deed was done.
        self.last_at = ""

    def begin(self, key: str, title: str) -> str:
        """Begin the record of a class; return why that failed, or nothing."""
        self.let_go()
        self.was_torn = False
        now = datetime.now().astimezone()
        self._head = {"class": key, "title": title, "begun": now.isoformat(timespec="seconds")}
        self._day = f"{now:%Y-%m-%d}"
        return self._did(self._begin)

    def add(self, deed: str, **what: Any) -> str:
        """Add a deed, with its time, to the record; return why that failed, or nothing."""
        self.last_at = datetime.now().astimezone().isoformat(timespec="seconds")
        self._pending.append({"deed": deed, "at": self.last_at, **what})
        return self._did(self._append)

    def latest(self) -> dict[str, Kept]:
        """Return the last class of each playlist and lesson; none where they cannot be read."""
        return {kept.key: kept for kept in self._kept()}

    def last_said(self) -> dict[str, Kept]:
        """Return the last class of each in which anything was said: one just begun hides none."""
        return {kept.key: kept for kept in self._kept() if kept.count}

    def _kept(self) -> list[Kept]:
        try:
            return [kept for _, kept in disk.get(self._all)]
        except (OSError, ValueError):
            return []

    def go_on(self, key: str) -> Kept | None:
        """Return the last class of a playlist unless it is over; its record is written on.

        Where another window writes it there is none, and `is_elsewhere` says so.
        """
        self.let_go()
        self.is_elsewhere = False
        try:
            return disk.get(lambda: self._go_on(key))
        except (OSError, ValueError):
            return None

    def let_go(self) -> None:
        """Write no more to the record, so that another window may go on with the class."""
        if self._record is not None:
            if self._pending:
                self._did(self._append)
            self._record.release()
        self._record, self._pending = None, []

    # On the disk's thread.

    def _begin(self) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        taken = [int(path.name[:NUMBER_DIGITS]) for path in self._paths()]
        number = max(taken, default=0) + 1
        record = self._slot(number)
        # A window that begins in the same moment has the number, and a lock but no file yet.
        while record.path.exists() or not _is_free(record):
            number += 1
            record = self._slot(number)
        record.journal.append(self._head)
        self._record = record

    def _slot(self, number: int) -> Slot:
        return Slot(self.folder / f"{number:0{NUMBER_DIGITS}d} {self._day}{ENDING}")

    def _append(self) -> None:
        if self._record is None:
            self._begin()
        assert self._record is not None
        self._record.journal.append(*self._pending)
        self._pending = []

    def _all(self) -> list[tuple[Path, Kept]]:
        found = []
        for path in self._paths():
            kept = kept_of(_entries(path))
            if kept is not None:
                found.append((path, kept))
        return found

    def _go_on(self, key: str) -> Kept | None:
        held = [(path, kept) for path, kept in self._all() if kept.key == key]
        if not held or held[-1][1].is_over:
            return None
        path, _ = held[-1]
        record = Slot(path)
        self.is_elsewhere = not _is_free(record)
        if self.is_elsewhere:
            return None
        # Read once more: another window may just have let go of it.
        held_now = read_journal(path)
        kept_now = kept_of(held_now.entries)
        if kept_now is None or kept_now.is_over:
            record.release()
            return None
        self.was_torn = held_now.is_torn
        self._record = record
        return kept_now

    def _paths(self) -> list[Path]:
        found = self.folder.glob("[0-9]" * NUMBER_DIGITS + f"*{ENDING}")
        return sorted(path for path in found if path.name[:NUMBER_DIGITS].isascii())

    def _did(self, step: Callable[[], None]) -> str:
        try:
            disk.get(step)
        except (OSError, SaveError) as error:
            why = reason_of(error) if isinstance(error, OSError) else str(error)
            return f"The record of the class could not be saved: {why}"
        return ""


def _entries(path: Path) -> tuple[Any, ...]:
    """Return the entries of one record; one that cannot be read hides no other."""
    try:
        return read_journal(path).entries
    except (OSError, ValueError):
        return ()


def _is_free(record: Slot) -> bool:
    """Lock a record; where there can be no lock nobody else has it, and writing says why."""
    return record.take() or not record.is_elsewhere


def _state_folder() -> Path:
    return Path(platformdirs.user_state_dir("Counterpoise", appauthor=False))
