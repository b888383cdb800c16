"""What a class has guessed: a dated record for each class, a line for each deed, kept for good."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import platformdirs

from app.work.disk import disk
from model.files.atomic_write import SaveError, reason_of
from model.files.journal import ENDING, JournalFile, read_journal

GUESSES_LIMIT = 500
NUMBER_DIGITS = 6


@dataclass
class Kept:
    """A class under way: its lesson, the question it is at, and all guesses as typed."""

    path: str
    title: str
    step: int = 0
    guesses: dict[int, list[str]] = field(default_factory=dict)
    curves: dict[int, list[float]] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """How many guesses were taken."""
        return sum(map(len, self.guesses.values())) + len(self.curves)


class GuessStore:
    """The records of all classes in one folder, numbered; the last goes on until it has ended."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or _state_folder() / "classes"
        self._record: JournalFile | None = None
        # What a full disk has refused is written with what comes next.
        self._pending: list[dict[str, Any]] = []

    def begin(self, path: str, title: str) -> str:
        """Begin the record of a class; return why that failed, or nothing."""
        self._record, self._pending = None, []
        now = datetime.now().astimezone().isoformat()
        return self._did(lambda: self._begin({"lesson": path, "title": title, "begun": now}))

    def add(self, deed: str, step: int, what: Any = None) -> str:
        """Add a deed to the record; return why that failed, or nothing."""
        self._pending.append({"deed": deed, "step": step, "what": what})
        return self._did(self._append)

    def load(self) -> Kept | None:
        """Return the class that is under way, or None; its record is gone on with."""
        try:
            return disk.get(self._load)
        except (
            OSError, ValueError, TypeError, LookupError, AttributeError, OverflowError,
        ):  # fmt: skip
            return None

    def end(self) -> str:
        """Say that the class has come to its end; its record stays."""
        return self.add("end", 0) if self._record is not None else ""

    # On the disk's thread.

    def _begin(self, entry: dict[str, Any]) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        taken = [int(path.stem) for path in self._records()]
        record = JournalFile(self.folder / f"{max(taken, default=0) + 1:0{NUMBER_DIGITS}d}{ENDING}")
        record.append(entry)
        self._record = record

    def _append(self) -> None:
        if self._record is None:
            raise SaveError("the record of the class could not be begun")
        self._record.append(*self._pending)
        self._pending = []

    def _load(self) -> Kept | None:
        for path in reversed(self._records()):
            held = read_journal(path)
            if not held.entries:
                continue
            kept = _kept(held.entries)
            if kept is not None:
                self._record = JournalFile(path)
            return kept
        return None

    def _records(self) -> list[Path]:
        found = self.folder.glob("[0-9]" * NUMBER_DIGITS + ENDING)
        return sorted(path for path in found if path.stem.isascii())

    def _did(self, step: Any) -> str:
        try:
            disk.get(step)
        except (OSError, SaveError) as error:
            why = reason_of(error) if isinstance(error, OSError) else str(error)
            return f"The guesses could not be saved: {why}"
        return ""


def _state_folder() -> Path:
    return Path(platformdirs.user_state_dir("Counterpoise", appauthor=False))


def _kept(entries: tuple[Any, ...]) -> Kept | None:
    """Return what a record says of a class; None where it has ended."""
    head, *rest = entries
    kept = Kept(str(head["lesson"]), " ".join(str(head["title"]).split()))
    for entry in rest:
        deed, step, what = entry["deed"], int(entry["step"]), entry["what"]
        taken = kept.guesses.setdefault(step, []) if deed in ("guess", "taken back") else []
        if deed == "end":
            return None
        if deed == "guess" and len(taken) < GUESSES_LIMIT:
            taken.append(str(what)[:40])
        elif deed == "taken back" and taken:
            taken.pop()
        elif deed == "curve":
            kept.curves[step] = [min(max(float(height), 0.0), 1.0) for height in what]
        elif deed == "step":
            kept.step = step
    return kept
