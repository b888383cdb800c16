"""The foot of the window: what a prediction is worth, and what happened last."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from model.scenario.cautions import ELECTRICAL, PREDICTION

MESSAGE_MS = 8000


class Foot(QWidget):
    """The caution that is always in sight; beside it messages come and go."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.prediction = QLabel(f"{PREDICTION} {ELECTRICAL}")
        self.prediction.setWordWrap(True)
        self._state = QLabel()
        self._state.setTextFormat(Qt.TextFormat.PlainText)
        self._usual = ""
        self._timer = QTimer(self, singleShot=True, interval=MESSAGE_MS)
        self._timer.timeout.connect(self._show_usual)
        line = QHBoxLayout(self)
        line.setContentsMargins(8, 2, 8, 4)
        line.setSpacing(16)
        line.addWidget(self.prediction, 1)
        line.addWidget(self._state)

    @property
    def message(self) -> str:
        """What is said at present."""
        return self._state.text()

    def show_usual(self, text: str) -> None:
        """Say this whenever there is no message."""
        self._usual = text
        if not self._timer.isActive():
            self._show_usual()

    def say(self, text: str) -> None:
        """Show a message for some seconds."""
        self._state.setText(text)
        self._timer.start()

    def _show_usual(self) -> None:
        self._state.setText(self._usual)
