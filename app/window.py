"""Opens the window: the application, the log, the exception hook, and the first scenario."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from app.errors import ErrorHook, start_log, stop_log
from app.library.place import own_library
from app.main_window import MainWindow
from app.settings import Settings
from app.starting import first_scenario


def open_window(paths: list[str]) -> int:
    """Open the window, with a file if one is given, and run until it is closed."""
    application = QApplication.instance() or QApplication([sys.argv[0]])
    if isinstance(application, QApplication):
        application.setApplicationName("Counterpoise")
        application.setDesktopFileName("counterpoise")
        # The one style that follows every palette and looks alike on every system.
        application.setStyle("Fusion")
    start_log()
    library = own_library()
    window = MainWindow(first_scenario(library), library, Settings())
    hook = ErrorHook(window.document)
    hook.install()
    try:
        window.show()
        if paths:
            window.files.open_path(Path(paths[0]))
        return application.exec()
    finally:
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        hook.remove()
        stop_log()
