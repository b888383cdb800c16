"""What happens when the program itself is at fault: a log, a calm dialog, and the work kept."""

from __future__ import annotations

import logging
import logging.handlers
import platform
import sys
import threading
import traceback
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import TracebackType

import platformdirs
import PySide6
from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QApplication

from app.widgets import dialogs
from app.work.disk import disk
from model.files.atomic_write import reason_of

LOG_LIMIT_BYTES = 200_000
START_PATIENCE_S = 3.0
_log = logging.getLogger("counterpoise")


def log_folder() -> Path:
    """Return the folder of the log."""
    return Path(platformdirs.user_log_dir("Counterpoise", appauthor=False))


class _LogFile(logging.handlers.RotatingFileHandler):
    """A full disk costs lines of the log, never the work."""

    def handleError(self, _record: logging.LogRecord) -> None:  # noqa: N802
        """Go on without the line."""


class _ToDisk(logging.Handler):
    """Hands each line to the disk's thread, as text: what a record leads to stays behind."""

    def __init__(self, file: _LogFile) -> None:
        super().__init__()
        self._file = file
        self.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))

    def emit(self, record: logging.LogRecord) -> None:
        """Have a line written."""
        line = logging.makeLogRecord({"msg": self.format(record), "levelno": record.levelno})
        disk.ask(partial(self._file.emit, line))

    def close(self) -> None:
        """Close the file once all lines are in it."""
        super().close()
        disk.ask(self._file.close)


def start_log() -> str:
    """Write what goes wrong to a file that never grows large; return why that is not possible."""
    folder = log_folder()
    try:
        file = disk.get(lambda: _opened(folder), START_PATIENCE_S)
    except OSError as error:
        return f"No log is written: {reason_of(error)}"
    _log.addHandler(_ToDisk(file))
    return ""


def _opened(folder: Path) -> _LogFile:
    folder.mkdir(parents=True, exist_ok=True)
    return _LogFile(
        folder / "counterpoise.log", maxBytes=LOG_LIMIT_BYTES, backupCount=3, encoding="utf-8"
    )


def stop_log() -> None:
    """Close the log."""
    for handler in list(_log.handlers):
        _log.removeHandler(handler)
        handler.close()


class ErrorHook(QObject):
    """Catches what nothing else caught: keeps the work, writes the error down, and says so.

    ``keep`` keeps the work at once and returns where, or None where that failed.
    """

    _arrived = Signal(str)

    def __init__(self, keep: Callable[[], Path | None]) -> None:
        super().__init__()
        self._keep = keep
        self._is_showing = False
        self._shown: set[str] = set()
        self._before = (sys.excepthook, threading.excepthook)
        # Queued: no dialog opens inside the drawing that failed, nor outside the main thread.
        self._arrived.connect(self._show, Qt.ConnectionType.QueuedConnection)

    def install(self) -> None:
        """Take over from Python's own hooks."""
        sys.excepthook = self.on_error
        threading.excepthook = self._on_thread_error

    def remove(self) -> None:
        """Give the hooks back."""
        sys.excepthook, threading.excepthook = self._before

    def on_error(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Write an error down; it is shown as soon as the window comes to rest."""
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        report = report_of(kind, error, trace)
        _log.error("%s", report)
        self._arrived.emit(report)

    def _on_thread_error(self, what: threading.ExceptHookArgs) -> None:
        self.on_error(what.exc_type, what.exc_value or what.exc_type(), what.exc_traceback)

    def _show(self, report: str) -> None:
        """Keep the work and show the report, unless one is shown or it is the same as before."""
        kept = self._kept_words()
        # A window that fails while it is drawn would fail again behind the dialog, without end.
        if self._is_showing or report in self._shown:
            return
        self._shown.add(report)
        self._is_showing = True
        try:
            dialogs.tell_error(QApplication.activeWindow(), kept, report)
        finally:
            self._is_showing = False

    def _kept_words(self) -> str:
        try:
            kept = self._keep()
        except Exception:  # noqa: BLE001
            # Whatever it is: the error that came first has to be told.
            _log.exception("the work could not be kept")
            kept = None
        if kept is None:
            return "The window is still open, with your work as it was."
        return (
            "The window is still open. A copy of what is not saved is kept, and is offered at the"
            f" next start:\n{kept}"
        )


def report_of(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> str:
    """Return what a person can send on: versions and where it happened."""
    lines = traceback.format_exception(kind, error, trace)
    versions = (
        f"Python {platform.python_version()}, PySide6 {PySide6.__version__}, {platform.platform()}"
    )
    return f"{versions}\n\n{''.join(lines)}"
