"""One place for unsaved work: a file that is a scenario itself, and the lock of its process."""

from __future__ import annotations

import json
import secrets
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import platformdirs
from PySide6.QtCore import QLockFile

from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError, write_data
from model.files.scenario_file import FILE_LIMIT_BYTES, dump_scenario, parse_scenario
from model.scenario.scenario import Scenario

HEADING = "# Unsaved work, kept by Counterpoise; it can be opened as a scenario."
ENDING, LOCK_ENDING, DAMAGED_ENDING = ".toml", ".lock", ".damaged"
_HEADER_LIMIT_BYTES = 10_000


@dataclass(frozen=True)
class Work:
    """Unsaved work: the scenario, the file it belongs to if there is one, and when it was kept."""

    scenario: Scenario
    file: Path | None
    kept: datetime


def recovery_folder() -> Path:
    """Return where unsaved work is kept."""
    return platformdirs.user_state_path("Counterpoise", appauthor=False) / "unsaved"


class Slot:
    """A file that only the process holding its lock may write, offer or delete."""

    def __init__(self, path: Path) -> None:
        self.path = path
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

    def write(self, work: Work) -> None:
        """Keep work; raises SaveError where that fails, and what was kept before stays then."""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise SaveError(f"{self.path.parent.name}: {error.strerror}") from error
        if not self.take():
            raise SaveError(f"{self.path.name}: cannot be locked")
        about = {"kept": work.kept.isoformat(), "file": str(work.file) if work.file else None}
        text = f"{HEADING}\n# {json.dumps(about)}\n{dump_scenario(work.scenario)}"
        write_data(text.encode(), self.path)

    def read(self) -> Work:
        """Return the work; raises ScenarioError or ValueError where there is none whole."""
        with self.path.open("rb") as file:
            data = file.read(FILE_LIMIT_BYTES + _HEADER_LIMIT_BYTES + 1)
        heading, about, body = data.split(b"\n", 2)
        if heading.decode() != HEADING:
            raise ValueError("has another heading")
        facts = json.loads(about.removeprefix(b"# "))
        file_name = facts["file"]
        kept = datetime.fromisoformat(facts["kept"]).astimezone()
        return Work(parse_scenario(body), Path(file_name) if file_name else None, kept)

    def discard(self) -> None:
        """Delete the work; the slot may be written again."""
        self.path.unlink(missing_ok=True)

    def release(self) -> None:
        """Give the lock back."""
        self._lock.unlock()

    def set_aside(self) -> Path:
        """Put a file that holds no work out of the way, and return where it is now."""
        aside = self.path.with_suffix(DAMAGED_ENDING)
        self.path.replace(aside)
        return aside


def orphans(folder: Path) -> tuple[list[tuple[Slot, Work]], list[Path]]:
    """Return the work that processes now gone have left, the newest first, each locked.

    The second list names the files that held no whole work and were set aside.
    """
    found: list[tuple[Slot, Work]] = []
    aside: list[Path] = []
    for path in sorted(folder.glob(f"*{ENDING}")):
        slot = Slot(path)
        if not slot.take():
            continue
        try:
            found.append((slot, slot.read()))
        except (ScenarioError, ValueError, TypeError, KeyError, RecursionError):
            aside.append(slot.set_aside())
            slot.release()
        except OSError:
            # It may be readable another time.
            slot.release()
    for path in folder.glob(f"*{LOCK_ENDING}"):
        # A process was killed while it had nothing to keep.
        idle = Slot(path.with_suffix(ENDING))
        if not idle.path.exists() and idle.take():
            idle.release()
    found.sort(key=lambda each: each[1].kept, reverse=True)
    return found, aside
