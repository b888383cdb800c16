"""How far the worker has come, a way to stop it, and what became of it."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from app.widgets.labels import sentence_label

# Work that is done sooner shows no progress.
SHOW_AFTER_MS = 300


class WorkBar(QWidget):
    """Shows progress once work takes a while; says why there is no result."""

    cancel_wanted = Signal()
    again_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.says = sentence_label()
        self.progress = QProgressBar()
        self.progress.setRange(0, 1000)
        self.progress.setTextVisible(False)
        self.progress.setMaximumHeight(14)
        self.cancel = QPushButton("Stop")
        self.again = QPushButton("Work it out")
        self._late = QTimer(self, singleShot=True, interval=SHOW_AFTER_MS)
        self._late.timeout.connect(self._show_progress)
        self.cancel.clicked.connect(self.cancel_wanted)
        self.again.clicked.connect(self.again_wanted)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.says, 1)
        line.addWidget(self.progress, 1)
        line.addWidget(self.cancel)
        line.addWidget(self.again)
        self.show_idle()

    def show_idle(self, words: str = "") -> None:
        """Say that nothing is at work, in words where there is something to say."""
        self._late.stop()
        self._set(words)

    def show_offer(self, words: str) -> None:
        """Say why there is no result, and offer to work it out."""
        self._late.stop()
        self._set(words, again=True)

    def show_working(self, words: str) -> None:
        """Say what is being worked out; progress follows if it takes a while."""
        self.says.setText(words)
        self.progress.setAccessibleName(words)
        self.progress.setValue(0)
        if not self.cancel.isVisibleTo(self):
            self._set("")
            self.says.setText(words)
            self._late.start()

    def advance(self, share: float) -> None:
        """Show how far the work has come."""
        self.progress.setValue(round(share * 1000))

    def _show_progress(self) -> None:
        self._set(self.says.text(), working=True)

    def _set(self, words: str, *, working: bool = False, again: bool = False) -> None:
        self.says.setText(words)
        self.says.setVisible(bool(words))
        self.progress.setVisible(working)
        self.cancel.setVisible(working)
        self.again.setVisible(again)
