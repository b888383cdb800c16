"""What happens when the program itself is at fault: a log, a calm dialog, and the work kept."""

from __future__ import annotations

import logging
import logging.handlers
import platform
import sys
import threading
import traceback
from pathlib import Path
from types import TracebackType

import platformdirs
import PySide6
from PySide6.QtWidgets import QApplication

from app import dialogs
from app.document import Document
from model.files import SaveError, write_scenario

LOG_LIMIT_BYTES = 200_000
_log = logging.getLogger("counterpoise")


def log_folder() -> Path:
    """Return the folder of the log and of work kept after an error."""
    return Path(platformdirs.user_log_dir("Counterpoise", appauthor=False))


def start_log() -> None:
    """Write what goes wrong to a file that never grows large; go on without one if need be."""
    try:
        folder = log_folder()
        folder.mkdir(parents=True, exist_ok=True)
        handler = logging.handlers.RotatingFileHandler(
            folder / "counterpoise.log", maxBytes=LOG_LIMIT_BYTES, backupCount=3, encoding="utf-8"
        )
    except OSError:
        return
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    _log.addHandler(handler)


def stop_log() -> None:
    """Close the log."""
    for handler in list(_log.handlers):
        _log.removeHandler(handler)
        handler.close()


class ErrorHook:
    """Catches what nothing else caught: writes it down, keeps a copy of the work, and says so."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._is_showing = False
        self._before = (sys.excepthook, threading.excepthook)

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
        """Write the error down, and show it unless one is being shown already."""
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        report = report_of(kind, error, trace)
        _log.error("%s", report)
        # A window that fails while it is drawn would fail again behind the dialog, without end.
        if self._is_showing or threading.current_thread() is not threading.main_thread():
            return
        self._is_showing = True
        try:
            dialogs.tell_error(QApplication.activeWindow(), self._kept_words(), report)
        finally:
            self._is_showing = False

    def _on_thread_error(self, what: threading.ExceptHookArgs) -> None:
        error = what.exc_value or what.exc_type()
        _log.error("%s", report_of(what.exc_type, error, what.exc_traceback))

    def _kept_words(self) -> str:
        kept = keep_copy(self._document)
        if kept is None:
            return "The window is still open: save your work under a new name."
        return f"The window is still open. A copy of your work is kept in\n{kept}"


def keep_copy(document: Document) -> Path | None:
    """Save a copy of the scenario beside the log; None when that too fails."""
    path = log_folder() / "kept-after-an-error.toml"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_scenario(document.scenario, path)
    except (OSError, SaveError):
        _log.exception("no copy could be kept")
        return None
    return path


def report_of(
    kind: type[BaseException], error: BaseException, trace: TracebackType | None
) -> str:
    """Return what a person can send on: versions and where it happened."""
    lines = traceback.format_exception(kind, error, trace)
    versions = (
        f"Python {platform.python_version()}, PySide6 {PySide6.__version__}, {platform.platform()}"
    )
    return f"{versions}\n\n{''.join(lines)}"
