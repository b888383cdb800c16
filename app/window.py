"""Opens the window: the application, the log, the exception hook, and the first scenario."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from app.errors import ErrorHook, start_log, stop_log
from app.library.place import own_library
from app.main_window import MainWindow
from app.state.recovery.autosave import Autosave
from app.state.recovery.offer import RecoveryOffer
from app.state.settings import Settings
from app.state.starting import first_scenario


def open_window(paths: list[str]) -> int:
    """Open the window, with a file if one is given, and run until it is closed."""
    application = QApplication.instance() or QApplication([sys.argv[0]])
    if isinstance(application, QApplication):
        application.setApplicationName("Counterpoise")
        application.setDesktopFileName("counterpoise")
        # The one style that follows every palette and looks alike on every system.
        application.setStyle("Fusion")
    faults = [start_log()]
    settings = Settings()
    faults.append(settings.fault)
    library = own_library()
    window = MainWindow(first_scenario(library), library, settings)
    autosave = Autosave(window.document)
    hook = ErrorHook(autosave.flush)
    hook.install()
    try:
        window.show()
        _begin(window, autosave, paths, settings)
        for fault in filter(None, faults):
            window.foot.say(fault)
        return application.exec()
    finally:
        # A window still there was not closed: nobody was asked about the work in it.
        autosave.close(keeps=window.isVisible())
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        hook.remove()
        stop_log()


def _begin(window: MainWindow, autosave: Autosave, paths: list[str], settings: Settings) -> None:
    """Offer the work that was not saved; without any, open the file to begin with."""
    autosave.failed.connect(window.foot.say)
    offer = RecoveryOffer(window, window.document, autosave, window.foot.say)
    window.files.recovery_wanted.connect(offer.ask_for_any)
    offer.ask(Path(paths[0]) if paths else None)
    file = file_to_begin_with(paths, settings)
    if file is not None and window.document.is_clean:
        window.files.open_path(file)


def file_to_begin_with(paths: list[str], settings: Settings) -> Path | None:
    """Return the file that is asked for, or else the last one, if it is still there."""
    if paths:
        return Path(paths[0])
    last = Path(settings.recent_files[0]) if settings.recent_files else None
    return last if last is not None and last.is_file() else None
