"""The foot of the window: what a prediction is worth, and what happened last."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from app.verdict.findings_list import count_words
from app.widgets.icons import IconDress
from model.findings.rules import Finding
from model.scenario.cautions import ELECTRICAL, PREDICTION

MESSAGE_MS = 8000
LINE_CHARACTERS = 60


class Foot(QWidget):
    """The caution that is always in sight; beside it messages, and how much was found."""

    findings_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.prediction = QLabel(f"{PREDICTION} {ELECTRICAL}")
        self.prediction.setWordWrap(True)
        self._state = QLabel()
        self._state.setTextFormat(Qt.TextFormat.PlainText)
        self.findings = QToolButton()
        self.findings.setAutoRaise(True)
        self.findings.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.findings.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.findings.setToolTip("Show what was found (F8)")
        IconDress(self.findings, "findings")
        self.findings.clicked.connect(self.findings_wanted)
        self._timer = QTimer(self, singleShot=True, interval=MESSAGE_MS)
        self._timer.timeout.connect(self._state.clear)
        line = QHBoxLayout(self)
        line.setContentsMargins(8, 2, 8, 4)
        line.setSpacing(16)
        line.addWidget(self.prediction, 1)
        line.addWidget(self._state)
        line.addWidget(self.findings)

    @property
    def message(self) -> str:
        """What is said at present."""
        return self._state.text()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Say how much was found."""
        self.findings.setText(count_words(findings))

    def say(self, text: str) -> None:
        """Show a message for some seconds."""
        # A short one stands on one line; a long one must not push the rest out of the window.
        self._state.setWordWrap(len(text) > LINE_CHARACTERS)
        self._state.setText(text)
        self._timer.start()
