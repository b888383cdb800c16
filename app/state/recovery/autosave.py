"""Keeps what is not saved in a journal, a moment after each change, on the disk's thread."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from math import inf
from pathlib import Path
from threading import Lock
from time import perf_counter

from PySide6.QtCore import QObject, QTimer, Signal

from app.state.document import Document
from app.state.recovery.slot import Slot, recovery_folder
from app.work.answered import Answered
from app.work.deferred import Deferred
from app.work.disk import NO_ANSWER, disk
from model.files.atomic_write import SaveError, reason_of
from model.files.work_record import (
    PartChange,
    Typed,
    Work,
    WorkWriter,
    parts_entry,
    typed_entry,
)

QUIET_MS = 300
LONGEST_WAIT_MS = 1000
# An end of the program waits no longer than this for a disk that does not answer.
FLUSH_S = 2.0
# A journal that has grown to this is written anew as one snapshot.
COMPACT_AT_ENTRIES = 2000
_log = logging.getLogger("counterpoise")


class Autosave(QObject):
    """Follows a document: what differs from its file is in this process's journal.

    Readings typed and not in a station yet, and parts not in their folder yet, stand there too.
    """

    failed = Signal(str)

    def __init__(
        self, document: Document, folder: Path | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._keeper = _Keeper(Slot.new(folder or recovery_folder()))
        self._answered = Answered(self)
        self._is_closed = self._was_told = False
        self._due = Deferred(QUIET_MS, LONGEST_WAIT_MS, self)
        self._due.due.connect(self._on_due)
        # The first change after a rest is kept in the next turn, before the runs it brings about:
        # on a slow machine those may take longer than may be lost.
        self._first = QTimer(self, singleShot=True, interval=0)
        self._first.timeout.connect(self._on_due)
        self._asked_s = -inf
        document.scenario_changed.connect(self._on_changed)
        document.file_changed.connect(self._on_changed)
        document.loose.changed.connect(self._on_changed)

    @property
    def path(self) -> Path:
        """Where the work is kept while there is any."""
        return self._keeper.slot.path

    @property
    def is_waiting(self) -> bool:
        """Whether a change waits to be kept."""
        return self._due.is_waiting or self._first.isActive()

    def flush(self) -> Path | None:
        """Keep all at once and wait for it, not for ever; return where, None where that failed."""
        self._due.forget()
        is_kept = self.keep_now()
        return self.path if is_kept and not self._document.is_clean else None

    def keep_now(self) -> bool:
        """Keep all at once and wait for it; return whether that was done."""
        asked = disk.ask(self._step(self._document.work()))
        try:
            why = disk.wait(asked, FLUSH_S)
        except OSError as error:
            why = reason_of(error)
        self._on_kept(why)
        return not why

    def close(self, *, keeps: bool) -> None:
        """Stop; the scenario goes unless ``keeps`` says that nobody has decided about it.

        Readings and parts that are nowhere else stay for the next start.
        """
        if self._is_closed:
            return
        self._due.forget()
        self._first.stop()
        self._answered.forget()
        self._is_closed = True
        disk.ask(self._step(self._document.work() if keeps else None))
        try:
            disk.get(self._keeper.slot.release, FLUSH_S)
        except OSError as error:
            _log.warning("unsaved work is not kept: %s", error)

    def _step(self, work: Work | None) -> Callable[[], str]:
        held = _Held(work, self._document.loose.typed, self._document.loose.parts)
        return partial(self._keeper.keep, held, datetime.now().astimezone())

    def _on_changed(self) -> None:
        if self._is_closed:
            return
        if self._document.is_clean and self._document.loose.is_empty:
            self._due.forget()
            self._on_due()
        elif (perf_counter() - self._asked_s) * 1000 > LONGEST_WAIT_MS:
            self._first.start()
        else:
            self._due.ask()

    def _on_due(self) -> None:
        self._due.forget()
        self._asked_s = perf_counter()
        self._answered.then(disk.ask(self._step(self._document.work())), self._on_kept)

    def _on_kept(self, why: str) -> None:
        if why and not self._was_told:
            self.failed.emit(f"Unsaved work cannot be kept for you: {why}")
        self._was_told = bool(why)


@dataclass(frozen=True)
class _Held:
    """All that is to be kept, at one moment."""

    work: Work | None = None
    typed: Mapping[str, Typed] = field(default_factory=dict)
    parts: tuple[PartChange, ...] = ()


class _Keeper:
    """Writes the journal; all of it runs on the disk's thread, one call after the other."""

    def __init__(self, slot: Slot) -> None:
        self.slot = slot
        self._writer = WorkWriter()
        self._held = _Held()
        self._count = 0
        self._is_begun = False
        # A call that hangs is left behind in its thread, and may still be in here.
        self._lock = Lock()

    def keep(self, held: _Held, kept: datetime) -> str:
        """Keep what is held now; return why that failed, or nothing."""
        if not self._lock.acquire(blocking=False):
            return NO_ANSWER
        try:
            return self._keep(held, kept)
        finally:
            self._lock.release()

    def _keep(self, held: _Held, kept: datetime) -> str:
        before, self._held = self._held, held
        is_saved = before.work is not None and held.work is None
        if is_saved or held == _Held() or self._count > COMPACT_AT_ENTRIES or not self._is_begun:
            return self._did(lambda: self._write_anew(kept))
        entries = self._writer.entries(held.work, kept)
        for key in sorted({*before.typed, *held.typed}):
            if before.typed.get(key) != held.typed.get(key):
                entries.append(typed_entry(key, held.typed.get(key, {})))
        if before.parts != held.parts:
            entries.append(parts_entry(held.parts))
        return self._did(lambda: self._append(entries))

    def _append(self, entries: list[dict[str, object]]) -> None:
        if entries:
            self.slot.journal.append(*entries)
            self._count += len(entries)

    def _write_anew(self, kept: datetime) -> None:
        """Write one snapshot, or nothing where nothing is left to keep."""
        self._is_begun = False
        self._writer.forget()
        entries = self._writer.entries(self._held.work, kept)
        entries += [typed_entry(key, typed) for key, typed in self._held.typed.items()]
        if self._held.parts:
            entries.append(parts_entry(self._held.parts))
        if not entries:
            self.slot.discard()
            return
        self.slot.hold()
        self.slot.journal.replace(entries)
        self._count, self._is_begun = len(entries), True

    def _did(self, step: Callable[[], None]) -> str:
        try:
            step()
        except (OSError, SaveError) as error:
            # What was not written has to be written with what comes next.
            self._is_begun = False
            why = reason_of(error) if isinstance(error, OSError) else str(error)
            _log.warning("unsaved work is not kept: %s", why)
            return why
        except Exception:
            self._is_begun = False
            _log.exception("unsaved work is not kept")
            raise
        return ""
