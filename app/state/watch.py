"""Looks after the open file: whether something else writes it, or another window has it open."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import platformdirs
from PySide6.QtCore import QLockFile, QObject, QTimer, Signal

from app.state.document import Document, is_changed
from app.work.disk import Asked, disk
from model.files.atomic_write import shown_name

LOOK_MS = 2000
CHANGED = "{} has changed on disk: something else has written it. Saving asks first"
ELSEWHERE = "{} is open in another window too: whoever saves last is asked before it is replaced"


class FileWatch(QObject):
    """Says what happens to the file of a document; ``said`` carries the sentence."""

    said = Signal(str)

    def __init__(
        self, document: Document, folder: Path | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._marks = OpenMarks(folder or marks_folder())
        self._path: Path | None = None
        self._told, self._is_over = "", False
        self._look: Asked[bool] | None = None
        self._mark: Asked[bool] | None = None
        self._timer = QTimer(self, interval=LOOK_MS)
        self._timer.timeout.connect(self.look)
        document.file_changed.connect(self._on_file_changed)
        self._on_file_changed()

    def look(self) -> None:
        """Say what was found, and look again; one look at a time."""
        self._say_of_marks()
        path, digest = self._document.path, self._document.digest
        if path is None:
            return
        if self._look is not None:
            if not self._look.is_done:
                return
            if self._look.value() and self._told != digest:
                self._told = digest
                self.said.emit(CHANGED.format(shown_name(path)))
        self._look = disk.ask(lambda: is_changed(path, digest))

    def close(self) -> None:
        """Stop, and let go of the file."""
        self._timer.stop()
        self._is_over = True
        disk.ask(self._marks.release)

    def _on_file_changed(self) -> None:
        self._look = None
        path = self._document.path
        if path == self._path or self._is_over:
            return
        self._path = path
        self._mark = disk.ask(lambda: self._marks.take(path))
        if path is None:
            self._timer.stop()
        else:
            self._timer.start()
            QTimer.singleShot(0, self, self._say_of_marks)

    def _say_of_marks(self) -> None:
        if self._mark is None:
            return
        if not self._mark.is_done:
            QTimer.singleShot(50, self, self._say_of_marks)
            return
        is_free, self._mark = self._mark.value(), None
        if not is_free and self._path is not None:
            self.said.emit(ELSEWHERE.format(shown_name(self._path)))


def marks_folder() -> Path:
    """Return where windows mark the files they have open."""
    return platformdirs.user_state_path("Counterpoise", appauthor=False) / "open"


class OpenMarks:
    """The mark of this window at the file it has open; used on the disk's thread."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._lock: QLockFile | None = None

    def take(self, path: Path | None) -> bool:
        """Mark a file in place of the last; return False where another window has marked it."""
        self.release()
        if path is None:
            return True
        name = hashlib.sha256(os.fsencode(os.path.realpath(path))).hexdigest()[:32]
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError:
            # Without a place for marks nobody is told; saving asks all the same.
            return True
        lock = QLockFile(str(self._folder / f"{name}.lock"))
        lock.setStaleLockTime(0)
        if lock.tryLock(0):
            self._lock = lock
            return True
        return lock.error() != QLockFile.LockError.LockFailedError

    def release(self) -> None:
        """Let go of the file."""
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None
