"""Looks after the open file: whether something else writes it, or another window has it open."""

from __future__ import annotations

import hashlib
import os
from functools import partial
from pathlib import Path

import platformdirs
from PySide6.QtCore import QLockFile, QObject, QTimer, Signal

from app.state.document import Document, is_changed
from app.work.answered import Answered
from app.work.disk import Disk
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
        self._is_looking = False
        self._answered = Answered(self)
        # A thread of its own: where the file's disk hangs, unsaved work must not wait behind it.
        self.disk = Disk()
        self._timer = QTimer(self, interval=LOOK_MS)
        self._timer.timeout.connect(self.look)
        document.file_changed.connect(self._on_file_changed)
        self._on_file_changed()

    def look(self) -> None:
        """Look at the file on disk, and say what was found; one look at a time."""
        self._answered.look()
        path, digest = self._document.path, self._document.digest
        if path is not None and not self._is_looking:
            self._is_looking = True
            asked = self.disk.ask(partial(is_changed, path, digest))
            self._answered.then(asked, self._on_looked, path, digest)

    def close(self) -> None:
        """Stop, and let go of the file."""
        self._timer.stop()
        self._is_over = True
        self._answered.forget()
        self.disk.ask(self._marks.release)

    def _on_looked(self, path: Path, digest: str, has_changed: bool) -> None:
        self._is_looking = False
        is_of_now = (path, digest) == (self._document.path, self._document.digest)
        if has_changed and is_of_now and self._told != digest:
            self._told = digest
            self.said.emit(CHANGED.format(shown_name(path)))

    def _on_file_changed(self) -> None:
        path = self._document.path
        if path == self._path or self._is_over:
            return
        self._path = path
        self._answered.then(self.disk.ask(partial(self._marks.take, path)), self._on_marked)
        if path is None:
            self._timer.stop()
        else:
            self._timer.start()

    def _on_marked(self, is_free: bool) -> None:
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
