"""Keeps unsaved work a moment after each change, on a thread of its own."""

from __future__ import annotations

import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.state.document import Document
from app.state.recovery.slot import Slot, Work, recovery_folder
from app.work.deferred import Deferred
from model.files.atomic_write import SaveError

QUIET_MS = 2000
LONGEST_WAIT_MS = 15_000
_log = logging.getLogger("counterpoise")


class Autosave(QObject):
    """Follows a document: while it differs from its file, a copy is kept in this process's slot."""

    failed = Signal(str)

    def __init__(
        self, document: Document, folder: Path | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._slot = Slot.new(folder or recovery_folder())
        self._was_told = self._is_closed = False
        self._writer = ThreadPoolExecutor(1, thread_name_prefix="autosave")
        self._due = Deferred(QUIET_MS, LONGEST_WAIT_MS, self)
        self._due.due.connect(self._on_due)
        document.scenario_changed.connect(self._on_changed)
        document.file_changed.connect(self._on_changed)

    @property
    def path(self) -> Path:
        """Where the work is kept while there is any."""
        return self._slot.path

    @property
    def is_waiting(self) -> bool:
        """Whether a change waits to be kept."""
        return self._due.is_waiting

    def flush(self) -> Path | None:
        """Keep the work at once and wait for it; return where, or None where that failed."""
        self._due.forget()
        if self._document.is_clean:
            return None
        kept = self._writer.submit(self._write, self._work()).result()
        return self.path if kept else None

    def close(self, *, keeps: bool) -> None:
        """Stop; the work goes unless ``keeps`` says that nobody has decided about it."""
        if keeps:
            self.flush()
        else:
            self._writer.submit(self._discard)
        self._is_closed = True
        self._due.forget()
        self._writer.shutdown()
        self._slot.release()

    def _work(self) -> Work:
        return Work(self._document.scenario, self._document.path, datetime.now().astimezone())

    def _on_changed(self) -> None:
        if self._is_closed:
            return
        if self._document.is_clean:
            self._due.forget()
            self._writer.submit(self._discard)
        else:
            self._due.ask()

    def _on_due(self) -> None:
        if not self._document.is_clean:
            self._writer.submit(self._write, self._work())

    # On the writer's thread, one after the other.

    def _write(self, work: Work) -> bool:
        return self._did(lambda: self._slot.write(work))

    def _discard(self) -> bool:
        return self._did(self._slot.discard)

    def _did(self, step: Callable[[], None]) -> bool:
        try:
            step()
        except (OSError, SaveError) as error:
            _log.warning("unsaved work is not kept: %s", error)
            if not self._was_told:
                self._was_told = True
                self.failed.emit(f"Unsaved work cannot be kept for you: {error}")
            return False
        except Exception:
            _log.exception("unsaved work is not kept")
            raise
        self._was_told = False
        return True
