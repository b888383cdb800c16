"""Opens the window: the application, the log, the exception hook, and the first scenario.

No state of disk, settings, library, last file or clock keeps it from opening: whatever fails is
said in a sentence.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from contextlib import suppress
from functools import partial
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from app.ending import Ending
from app.first_steps import offer_first_steps
from app.main_window import MainWindow
from app.pages.library.place import own_library, take_parts, usual_library
from app.state.recovery.autosave import Autosave
from app.state.recovery.offer import RecoveryOffer
from app.state.settings import Settings
from app.state.starting import first_scenario
from app.state.watch import FileWatch
from app.widgets.errors import ErrorHook, start_log, stop_log
from app.widgets.icons import drawings, icon
from app.work.collector import Collector
from app.work.disk import absolute, disk
from model.library.merge import PartChange

ICON_PX = 64
START_PATIENCE_S = 3.0
SAFE = "Started safely: without your settings, your last file and your own library"


def open_window(paths: list[str], *, is_safe: bool = False) -> int:
    """Open the window, with a file if one is given, and run until it is closed.

    Safely: without settings, last file and own library.
    """
    application = QApplication.instance() or QApplication([sys.argv[0]])
    if isinstance(application, QApplication):
        application.setApplicationName("Counterpoise")
        application.setDesktopFileName("counterpoise")
        # The one style that follows every palette and looks alike on every system.
        application.setStyle("Fusion")
    collector = Collector()
    collector.install()
    try:
        return _run_window(application, paths, is_safe=is_safe)
    finally:
        # Now that nothing here holds the window any more.
        collector.remove()


def _run_window(application: QCoreApplication, paths: list[str], *, is_safe: bool) -> int:
    """Open the window over a program that is set up, and run until it is closed."""
    faults = [SAFE if is_safe else ""]
    faults.append(start_log())
    settings = Settings(is_safe=is_safe)
    faults.append(settings.fault)
    library, said = (usual_library(), "") if is_safe else own_library()
    faults.append(said)
    with suppress(OSError):
        disk.get(drawings)
    if isinstance(application, QApplication):
        application.setWindowIcon(icon("counterpoise", "", ICON_PX))
    window = MainWindow(first_scenario(library), library, settings)
    autosave = Autosave(window.document)
    hook, ending = ErrorHook(autosave.flush), Ending(partial(_keep, window, autosave))
    hook.install()
    ending.install()
    watch = FileWatch(window.document)
    watch.said.connect(window.foot.say)
    try:
        window.show()
        window.lenses.load_ahead()
        # A signal does not keep what it is connected to: it is held until the window has gone.
        offer = _offer(window, autosave)
        _begin(window, offer, paths, settings, hook)
        if not is_safe:
            # A safe start remembers nothing, so that a cross there would not count.
            offer_first_steps(window, settings)
        if any(faults):
            window.foot.say("; ".join(filter(None, faults)))
        if ending.has_come or not window.isVisible():
            # Ended or closed before its loop began: a loop begun now would never end.
            return 0
        return application.exec()
    finally:
        # A window still there was not closed: nobody was asked about the work in it.
        watch.close()
        autosave.close(keeps=window.isVisible())
        window.views.groups.end()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        ending.remove()
        hook.remove()
        stop_log()


def _keep(window: MainWindow, autosave: Autosave) -> None:
    """Keep the work of the window, and of the group beside it."""
    autosave.keep_now()
    window.views.groups.keep_now()


def _offer(window: MainWindow, autosave: Autosave) -> RecoveryOffer:
    autosave.failed.connect(window.foot.say)
    offer = RecoveryOffer(
        window, window.document, autosave, window.foot.say, take_parts=partial(_take_parts, window)
    )
    window.files.recovery_wanted.connect(offer.ask_for_any)
    return offer


def _begin(
    window: MainWindow, offer: RecoveryOffer, paths: list[str], settings: Settings, hook: ErrorHook
) -> None:
    """Offer the work that was not saved; without any, open the file to begin with."""
    try:
        offer.ask(Path(paths[0]) if paths else None)
    except Exception as error:  # noqa: BLE001
        # Whatever lies there, the window opens; the error is told in it.
        hook.on_error(type(error), error, error.__traceback__)
    file = file_to_begin_with(paths, settings)
    if file is not None and window.document.is_clean:
        window.files.open_path(file)


def _take_parts(window: MainWindow, changes: Iterable[PartChange]) -> bool:
    """Put parts that a window now gone could not save into the library, and offer them."""
    if not take_parts(changes):
        return False
    window.lenses.library_changed.emit(own_library()[0])
    window.foot.say("Changes of your parts library are kept that a window could not save")
    return True


def file_to_begin_with(paths: list[str], settings: Settings) -> Path | None:
    """Return the file that is asked for, or else the last one, if it is still there."""
    if paths:
        return absolute(paths[0])
    last = Path(settings.recent_files[0]) if settings.recent_files else None
    try:
        return last if last is not None and disk.get(last.is_file, START_PATIENCE_S) else None
    except (OSError, ValueError):
        return None
