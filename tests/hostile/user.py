"""A person who does anything at all, with real dialogs, until something breaks.

    python -m tests.hostile.user --seed 1 --seconds 3600

A fault is an exception, a message of Qt, or a window that is gone. Its steps are shortened by doing
fewer and fewer of them again, and printed.
"""

from __future__ import annotations

import argparse
import faulthandler
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# Before Qt and the program look for a home, they have one of their own.
if os.environ.get("COUNTERPOISE_TEST_HOME") is None:
    os.environ["COUNTERPOISE_TEST_HOME"] = tempfile.mkdtemp(prefix="counterpoise-user-")
HOME = Path(os.environ["COUNTERPOISE_TEST_HOME"])
for _name, _below in (
    ("HOME", ""), ("XDG_CONFIG_HOME", ".config"), ("XDG_DATA_HOME", ".data"),
    ("XDG_STATE_HOME", ".state"), ("XDG_CACHE_HOME", ".cache"),
):  # fmt: skip
    os.environ[_name] = str(HOME / _below)

from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QThread,
    QTimer,
    QtMsgType,
    qInstallMessageHandler,
)
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from app import window as window_module
from app.main_window import MainWindow
from app.widgets import dialogs
from tests.hostile.deeds import Deed, Person, deeds

ROOT = Path(__file__).resolve().parents[2]
DEEDS_A_LIFE = 150
STEP_S = 0.02
# What Qt says of a screen that is none.
NO_FAULTS = ("This plugin does not support", "Could not find a platform theme")
SHORTEN_S = 90.0


@dataclass
class Life:
    """What is done in one window, and what breaks."""

    given: Iterable[Deed]
    until: float
    done: list[Deed] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def on_message(self, kind: QtMsgType, _where: object, text: str) -> None:
        """Note what Qt says."""
        if not text.startswith(NO_FAULTS):
            self.faults.append(f"Qt says ({kind.name}): {text}")

    def on_error(self, _parent: object, _text: str, report: str) -> None:
        """Note what the program says of its own errors, in place of a dialog."""
        self.faults.append(report)

    def act(self) -> None:
        """Do the deeds in the window that is open, and close it."""
        tops = QApplication.topLevelWidgets()
        main = next(each for each in tops if isinstance(each, MainWindow))
        person = Person(folder_of_files(), main)
        person.watch()
        for deed in islice(self.given, DEEDS_A_LIFE):
            if self.faults or time.monotonic() > self.until:
                break
            self.done.append(deed)
            self._do(person, deed)
            if not main.isVisible():
                self.faults.append("the window is gone")
        _close(main)
        person.leave()
        QCoreApplication.exit(0)

    def _do(self, person: Person, deed: Deed) -> None:
        try:
            self.words.append(person.do(deed))
            _turn()
        except Exception:  # noqa: BLE001  whatever is raised is what is looked for
            self.faults.append(traceback.format_exc())


def folder_of_files() -> Path:
    """Return a folder with all that a file may be."""
    folder = HOME / "files"
    if not folder.exists():
        folder.mkdir(parents=True)
        (folder / "folder").mkdir()
        (folder / "loop.toml").symlink_to(folder / "loop.toml")
        (folder / "closed").mkdir(mode=0)
        (folder / "damaged.toml").write_bytes(b"\0\xff" * 99)
        for name in ("kit.toml", "two.toml"):
            shutil.copy(ROOT / "scenarios" / "ridge-weekend.toml", folder / name)
    return folder


def live(given: Iterable[Deed], until: float) -> Life:
    """Open the program's window, do deeds in it and close it."""
    life = Life(given, until)
    qInstallMessageHandler(life.on_message)
    told, dialogs.tell_error = dialogs.tell_error, life.on_error
    opener = Person(folder_of_files(), QWidget())
    opener.watch()
    begin = _once_it_runs(opener, life)
    try:
        window_module.open_window([])
    except Exception:  # noqa: BLE001  whatever is raised is what is looked for
        life.faults.append(traceback.format_exc())
    finally:
        begin.stop()
        dialogs.tell_error = told
        qInstallMessageHandler(None)
    return life


def _once_it_runs(opener: Person, life: Life) -> QTimer:
    """Begin when the program's own loop runs: until then the start draws the window in turns."""
    timer = QTimer(interval=100)

    def look() -> None:
        tops = QApplication.topLevelWidgets()
        is_open = any(isinstance(each, MainWindow) and each.isVisible() for each in tops)
        if is_open and QThread.currentThread().loopLevel() == 1:
            timer.stop()
            opener.leave()
            life.act()

    timer.timeout.connect(look)
    timer.start()
    return timer


def _turn() -> None:
    end = time.monotonic() + STEP_S
    while time.monotonic() < end:
        QApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def _close(main: MainWindow) -> None:
    """Close the window as a person does who keeps nothing."""
    for each in QApplication.topLevelWidgets():
        if isinstance(each, QDialog) and each.isVisible():
            each.reject()
    ask, dialogs.ask_about_unsaved = (
        dialogs.ask_about_unsaved, lambda *_: dialogs.Answer.DISCARD,
    )  # fmt: skip
    try:
        main.close()
    finally:
        dialogs.ask_about_unsaved = ask


def replay(done: list[Deed]) -> str:
    """Return the fault that deeds bring about in a program and a home of their own, or nothing."""
    home = tempfile.mkdtemp(prefix="counterpoise-replay-")
    listed = json.dumps([[deed.kind, deed.seed] for deed in done])
    try:
        ended = subprocess.run(
            [sys.executable, "-m", "tests.hostile.user", "--replay", "-"],
            input=listed, text=True, capture_output=True, cwd=ROOT, timeout=120, check=False,
            env={**os.environ, "COUNTERPOISE_TEST_HOME": home},
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return "it hangs"
    finally:
        shutil.rmtree(home, ignore_errors=True)
    if ended.returncode < 0:
        return f"it ends with signal {-ended.returncode}"
    return ended.stdout


def shortened(done: list[Deed], fault: str) -> tuple[list[Deed], bool]:
    """Return the fewest deeds found that bring the fault about again, and whether any did."""
    wanted, until = _gist(fault), time.monotonic() + SHORTEN_S
    if wanted not in replay(done):
        return done, False
    size = max(len(done) // 2, 1)
    while size and time.monotonic() < until:
        at = 0
        while at < len(done) and time.monotonic() < until:
            fewer = done[:at] + done[at + size :]
            if fewer and wanted in replay(fewer):
                done = fewer
            else:
                at += size
        size //= 2
    return done, True


def _gist(fault: str) -> str:
    return fault.strip().splitlines()[-1][:120]


def tell(life: Life) -> None:
    """Print a fault, and the shortest steps to it."""
    sys.stdout.write(f"\n{life.faults[0]}\n")
    sys.stdout.flush()
    done, is_again = shortened(life.done, life.faults[0])
    words = dict(zip(life.done, life.words, strict=False))
    sys.stdout.write("Shortest steps:\n" if is_again else "It did not happen again. All steps:\n")
    for deed in done:
        sys.stdout.write(f"  {deed}: {words.get(deed, 'what broke')}\n")
    sys.stdout.flush()


_kept: list[QApplication] = []


def main() -> int:
    """Read the command line and live until the time is over."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=3600.0)
    parser.add_argument("--replay", help="deeds as JSON; - reads standard input")
    chosen = parser.parse_args()
    # Where the process itself is brought down, it says in which line.
    faulthandler.enable()
    _kept.append(QApplication(["counterpoise"]))
    if chosen.replay:
        text = sys.stdin.read() if chosen.replay == "-" else Path(chosen.replay).read_text()
        life = live([Deed(*each) for each in json.loads(text)], time.monotonic() + 100)
        sys.stdout.write("\n".join(life.faults))
        return 1 if life.faults else 0
    until = time.monotonic() + chosen.seconds
    lives = count = faults = 0
    seen: set[str] = set()
    while time.monotonic() < until:
        life = live(deeds(chosen.seed * 1000 + lives), until)
        lives, count = lives + 1, count + len(life.done)
        if life.faults:
            faults += 1
            if _gist(life.faults[0]) not in seen:
                seen.add(_gist(life.faults[0]))
                tell(life)
    shutil.rmtree(HOME, ignore_errors=True)
    sys.stdout.write(
        f"seed {chosen.seed}: {lives} windows, {count} deeds, {faults} of the windows had a fault\n"
    )
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
