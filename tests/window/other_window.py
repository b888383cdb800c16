"""The whole program in a process of its own, asked line by line what it shows and told what to do.

A line is an expression over ``window``, ``said`` (what its dialogs told), ``answers`` (what they
are answered) and ``ending``.
"""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Any

ROOT = Path(__file__).parents[2]
PATIENCE_S = 60.0
PROGRAM = """
import json, sys
from PySide6.QtCore import QSocketNotifier, QThread, QTimer
from PySide6.QtWidgets import QApplication
from app import ending as ending_module, window as window_module
from app.widgets import dialogs

said, answers = [], {"list": None, "choice": None}
dialogs.choose_from_list = lambda *given: said.append(given[3]) or answers["list"]
dialogs.choose = lambda *given: said.append(given[1]) or answers["choice"]
dialogs.tell = lambda *given: said.append(given[1:])
dialogs.tell_faults = lambda *given: said.append(given[1:])
dialogs.tell_error = lambda *given: said.append(given[1:])
dialogs.ask_about_unsaved = lambda *_: dialogs.Answer.DISCARD
endings = []

class Ending(ending_module.Ending):
    def __init__(self, *given):
        super().__init__(*given)
        endings.append(self)

window_module.Ending = Ending
application = QApplication([])

def answer():
    line = sys.stdin.readline()
    if not line:
        application.exit(3)
        return
    windows = [w for w in QApplication.topLevelWidgets() if isinstance(w, window_module.MainWindow)]
    names = {"window": windows[0], "said": said, "answers": answers, "application": application,
             "ending": endings[0]}
    try:
        value = eval(line, names)
    except BaseException as error:
        value = f"{type(error).__name__}: {error}"
    print(json.dumps(value, default=repr), flush=True)

def begin():
    # The start draws the window in turns of its own: only the program's loop counts.
    tops = QApplication.topLevelWidgets()
    is_open = any(isinstance(w, window_module.MainWindow) and w.isVisible() for w in tops)
    if not is_open or QThread.currentThread().loopLevel() != 1:
        QTimer.singleShot(50, begin)
        return
    global notifier
    notifier = QSocketNotifier(sys.stdin.fileno(), QSocketNotifier.Type.Read)
    notifier.activated.connect(answer)
    print(json.dumps("open"), flush=True)

QTimer.singleShot(0, begin)
window_module.open_window(sys.argv[1:])
print(json.dumps("ended"), flush=True)
"""


class OtherWindow:
    """One process; to be used in a ``with`` block, whose end kills it."""

    def __init__(self, *paths: Path) -> None:
        command = [sys.executable, "-c", PROGRAM, *map(str, paths)]
        self.program = subprocess.Popen(
            command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        assert self._line() == "open"

    def ask(self, expression: str) -> Any:
        """Return what an expression is worth there."""
        assert self.program.stdin is not None
        self.program.stdin.write(f"{expression}\n")
        self.program.stdin.flush()
        return self._line()

    def wait_for(self, expression: str) -> Any:
        """Ask until an expression is true there."""
        until = time.monotonic() + PATIENCE_S
        while not (value := self.ask(expression)):
            assert time.monotonic() < until, f"{expression} never came true"
            time.sleep(0.05)
        return value

    def wait_for_message(self, words: str) -> None:
        """Wait until the foot says this."""
        self.wait_for(f"{words!r} in window.foot.message")

    def end(self, number: signal.Signals) -> int:
        """Send a signal; return how the program has ended."""
        self.program.send_signal(number)
        return self.program.wait(PATIENCE_S)

    def close(self) -> None:
        """Close the window as a person does who keeps nothing, and wait for the program's end."""
        assert self.ask("window.close()") is True
        assert self._line() == "ended"
        assert self.program.wait(PATIENCE_S) == 0

    def _line(self) -> Any:
        assert self.program.stdout is not None
        line = self.program.stdout.readline()
        assert line, "the program has ended"
        return json.loads(line)

    def __enter__(self) -> OtherWindow:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        self.program.kill()
        self.program.communicate()
