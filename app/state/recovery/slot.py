"""One place for what a window has not saved: a journal, and the lock of its process."""

from __future__ import annotations

import secrets
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import platformdirs
from PySide6.QtCore import QLockFile

from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError
from model.files.journal import ENDING, JournalFile, read_journal
from model.files.work_record import Left, read_left, read_old_work

LOCK_ENDING, DAMAGED_ENDING = ".lock", ".damaged"
# What earlier programs kept, a scenario each.
OLD_ENDING = ".toml"


def recovery_folder() -> Path:
    """Return where unsaved work is kept."""
    return platformdirs.user_state_path("Counterpoise", appauthor=False) / "unsaved"


class Slot:
    """A journal that only the process holding its lock may write, offer or delete."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.journal = JournalFile(path)
        self._lock = QLockFile(str(path.with_suffix(LOCK_ENDING)))
        # A lock grows stale with its process, never with time.
        self._lock.setStaleLockTime(0)

    @classmethod
    def new(cls, folder: Path) -> Slot:
        """Return a slot nobody else has."""
        return cls(folder / f"{secrets.token_hex(8)}{ENDING}")

    def take(self) -> bool:
        """Lock it for this process; return whether it is free."""
        return self._lock.isLocked() or self._lock.tryLock(0)

    @property
    def is_elsewhere(self) -> bool:
        """Whether it could not be taken since another window has it."""
        return self._lock.error() == QLockFile.LockError.LockFailedError

    def hold(self) -> None:
        """Make the folder and lock the slot; raises OSError or SaveError where that fails."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        if not self.take():
            raise SaveError(f"{self.path.name}: cannot be locked")

    def discard(self) -> None:
        """Delete the journal; the slot may be written again."""
        self.journal.discard()

    def release(self) -> None:
        """Give the lock back."""
        self._lock.unlock()

    def set_aside(self) -> Path:
        """Put a file that is damaged out of the way, and return where it is now."""
        aside = self.path.with_suffix(DAMAGED_ENDING)
        self.path.replace(aside)
        return aside


@dataclass(frozen=True)
class Found:
    """What windows that are gone have left, the newest first, each locked; and what is damaged."""

    left: tuple[tuple[Slot, Left], ...] = ()
    damaged: tuple[str, ...] = ()


def orphans(folder: Path) -> Found:
    """Return what windows now gone have left; raises OSError where the folder cannot be read.

    A journal without one sound line is set aside; of a torn one the sound lines count.
    """
    found: list[tuple[Slot, Left]] = []
    damaged: list[str] = []
    for path in sorted([*folder.glob(f"*{ENDING}"), *folder.glob(f"*{OLD_ENDING}")]):
        slot = Slot(path)
        if not slot.take():
            continue
        try:
            left = _left_in(slot, damaged)
        except (OSError, ValueError):
            # It may be readable another time.
            slot.release()
            continue
        if left is None:
            slot.release()
        else:
            found.append((slot, left))
    with suppress(OSError):
        _clear_idle(folder)
    found.sort(key=lambda each: each[1].kept.timestamp() if each[1].kept else 0.0, reverse=True)
    return Found(tuple(found), tuple(damaged))


def _clear_idle(folder: Path) -> None:
    """Take away the locks of processes that were killed while they had nothing to keep."""
    for path in folder.glob(f"*{LOCK_ENDING}"):
        idle = Slot(path.with_suffix(ENDING))
        is_held = idle.path.exists() or idle.path.with_suffix(OLD_ENDING).exists()
        if not is_held and idle.take():
            idle.release()


def _left_in(slot: Slot, damaged: list[str]) -> Left | None:
    if slot.path.suffix == OLD_ENDING:
        return _old_left_in(slot, damaged)
    held = read_journal(slot.path)
    left, is_whole = read_left(held.entries)
    if not left.is_empty:
        if held.is_torn or not is_whole:
            damaged.append("The last lines of unsaved work were damaged; what stood before is kept")
        return left
    if held.is_torn or not is_whole:
        damaged.append(f"Unsaved work was damaged and is set aside: {slot.set_aside()}")
    else:
        slot.discard()
    return None


def _old_left_in(slot: Slot, damaged: list[str]) -> Left | None:
    data = slot.path.read_bytes()
    try:
        return read_old_work(data)
    except (ScenarioError, ValueError, LookupError, TypeError, RecursionError):
        damaged.append(f"Unsaved work was damaged and is set aside: {slot.set_aside()}")
        return None
