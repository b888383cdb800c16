"""Ends that ask nobody: a signal, or the end of the desktop session. What is typed is kept."""

from __future__ import annotations

import signal
import socket
from collections.abc import Callable
from types import FrameType

from PySide6.QtCore import QObject, QSocketNotifier
from PySide6.QtGui import QGuiApplication

SIGNALS = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGINT") if hasattr(signal, name)
)


class Ending(QObject):
    """Keeps the work, then ends the program, whatever the window is busy with.

    A signal only wakes the event loop through a socket; the work is kept in the loop's own turn.
    """

    def __init__(self, keep: Callable[[], object]) -> None:
        super().__init__()
        # A signal that comes while the start still asks ends the loop of the question alone.
        self.has_come = False
        self._keep = keep
        self._reading, self._writing = socket.socketpair()
        for end in (self._reading, self._writing):
            end.setblocking(False)
        self._notifier = QSocketNotifier(self._reading.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._on_signal)
        self._before: dict[int, object] = {}
        self._wake = -1

    def install(self) -> None:
        """Take over from the usual ends."""
        self._wake = signal.set_wakeup_fd(self._writing.fileno(), warn_on_full_buffer=False)
        for number in SIGNALS:
            self._before[number] = signal.signal(number, _leave_to_the_loop)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.commitDataRequest.connect(self._on_session_end)

    def remove(self) -> None:
        """Give the usual ends back."""
        self._notifier.setEnabled(False)
        for number, before in self._before.items():
            signal.signal(number, before)  # type: ignore[arg-type]
        signal.set_wakeup_fd(self._wake)
        for end in (self._reading, self._writing):
            end.close()

    def _on_signal(self) -> None:
        self._reading.recv(64)
        self.has_come = True
        self._keep()
        QGuiApplication.exit(0)

    def _on_session_end(self, _manager: object) -> None:
        # The session may end before any answer to a question: it is kept, and offered next time.
        self._keep()


def _leave_to_the_loop(_number: int, _frame: FrameType | None) -> None:
    """Do nothing inside whatever was interrupted: the socket has woken the loop."""
