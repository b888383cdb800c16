"""What holds for every test: no screen, one time zone, a fresh home, nothing left behind."""

from __future__ import annotations

import gc
import os
import threading
import time
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any
from weakref import WeakSet

# Qt and the C library read these once, so they are set before either is loaded.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_SCALE_FACTOR", "1")
os.environ.setdefault("TZ", "UTC")
os.environ["LC_ALL"] = "C.UTF-8"
if hasattr(time, "tzset"):
    time.tzset()

from tests import marks

# Before anything of the program is loaded.
marks.begin()

import pytest
from hypothesis import HealthCheck, Phase, settings
from PySide6.QtCore import QCoreApplication, QEvent, QThread, QThreadPool
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from app.work.collector import collect_due
from app.work.disk import THREAD_NAME

# As in the program: left to itself the collector may free widgets in the disk's thread.
gc.disable()

SLOW_IS_NO_FAULT = [HealthCheck.too_slow]
settings.register_profile(
    "ci", derandomize=True, database=None, deadline=None, suppress_health_check=SLOW_IS_NO_FAULT
)
settings.register_profile("dev", deadline=None, suppress_health_check=SLOW_IS_NO_FAULT)
settings.register_profile("quick", phases=[Phase.generate], deadline=None, database=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "dev"))

HOME_FOLDERS = {
    "HOME": "home",
    "USERPROFILE": "home",
    "APPDATA": "home/roaming",
    "LOCALAPPDATA": "home/local",
    "XDG_CONFIG_HOME": "home/.config",
    "XDG_DATA_HOME": "home/.local/share",
    "XDG_STATE_HOME": "home/.local/state",
    "XDG_CACHE_HOME": "home/.cache",
}


def pytest_sessionfinish() -> None:
    """Keep what this process ran of the program, where a test run asks for it."""
    marks.store()


@pytest.fixture(autouse=True)
def fresh_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give every test an empty home folder and empty settings of its own."""
    root = tmp_path_factory.mktemp("person")
    for variable, folder in HOME_FOLDERS.items():
        (root / folder).mkdir(parents=True, exist_ok=True)
        monkeypatch.setenv(variable, str(root / folder))
    return root / "home"


@pytest.fixture(autouse=True, scope="session")
def one_application() -> QApplication:
    """Make the application windows need, before a page makes the lesser one it needs itself."""
    existing = QApplication.instance()
    return existing if isinstance(existing, QApplication) else QApplication(["counterpoise"])


@pytest.fixture(autouse=True)
def names_of_the_application() -> Iterator[None]:
    """Undo what a test that starts the program does to the names settings are kept under."""
    before = (QCoreApplication.organizationName(), QCoreApplication.applicationName())
    yield
    QCoreApplication.setOrganizationName(before[0])
    QCoreApplication.setApplicationName(before[1])


def _visible_windows() -> list[str]:
    if not isinstance(QCoreApplication.instance(), QApplication):
        return []
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    left = [widget for widget in QApplication.topLevelWidgets() if widget.isVisible()]
    names = [f"window {type(widget).__name__} {widget.windowTitle()!r}" for widget in left]
    for widget in left:
        widget.close()
        widget.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return names


def _remember(kind: type[QThread | QThreadPool]) -> None:
    """Keep in mind what is made of a kind: to look through all objects takes as long as a test."""
    make = kind.__init__

    def make_and_remember(self: QThread | QThreadPool, *given: Any, **named: Any) -> None:
        make(self, *given, **named)
        _MADE.add(self)

    kind.__init__ = make_and_remember


_MADE: WeakSet[QThread | QThreadPool] = WeakSet()
for _kind in (QThread, QThreadPool):
    _remember(_kind)


def _busy_qt_threads() -> list[str]:
    names = []
    for thing in [QThreadPool.globalInstance(), *_MADE]:
        if not isValid(thing):
            continue
        if isinstance(thing, QThread) and thing.isRunning():
            names.append(f"thread {thing.objectName() or type(thing).__name__}")
        elif isinstance(thing, QThreadPool) and thing.activeThreadCount():
            names.append(f"thread pool with {thing.activeThreadCount()} at work")
    return names


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> Generator[None, None, None]:
    item.stash[THREADS_BEFORE] = set(threading.enumerate())
    return (yield)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_teardown(item: pytest.Item) -> Generator[None, None, None]:
    """Fail the test that leaves a window or a thread behind, before it crashes a later one."""
    result = yield
    left = _visible_windows()
    collect_due()
    if "qapp" in getattr(item, "fixturenames", ()):
        left += _busy_qt_threads()
    left += [
        f"thread {thread.name}"
        for thread in threading.enumerate()
        if thread not in item.stash[THREADS_BEFORE]
        and thread.is_alive()
        and not isinstance(thread, threading._DummyThread)
        # It waits for file calls until the program ends; nobody joins it.
        and thread.name != THREAD_NAME
    ]
    if left:
        pytest.fail(f"{item.nodeid} left behind: {', '.join(left)}", pytrace=False)
    return result


THREADS_BEFORE = pytest.StashKey[set[threading.Thread]]()
