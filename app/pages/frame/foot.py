"""The foot of the window: what a prediction is worth, and what happened last."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from app.pages.results.findings_list import FindingsList, count_words
from app.state.display import Display
from app.widgets.icons import IconDress
from app.widgets.popover import Popover
from model.findings.rules import Finding
from model.scenario.cautions import ELECTRICAL, PREDICTION

MESSAGE_MS = 8000
LINE_CHARACTERS = 60


class Foot(QWidget):
    """The caution that is always in sight; beside it messages, and how much was found."""

    jump_wanted = Signal(str)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
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
        self.findings.clicked.connect(self.open_findings)
        self.list = FindingsList(display)
        self.list.jump_wanted.connect(self._on_jump)
        self.popover = Popover("Findings", self.list, self.findings, scrolls=True)
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
        self.list.show_findings(findings)

    def show_waiting(self) -> None:
        """Say that nothing is known yet of what is entered."""
        self.popover.close_popover()
        self.findings.setText("… findings")

    def open_findings(self) -> None:
        """Show what was found over its count; the keyboard goes to the first."""
        self.popover.open_over(QRect(self.findings.mapToGlobal(QPoint(0, 0)), self.findings.size()))
        self.list.take_focus()

    def _on_jump(self, path: str) -> None:
        self.popover.close_popover()
        self.jump_wanted.emit(path)

    def say(self, text: str) -> None:
        """Show a message for some seconds."""
        # A short one stands on one line; a long one must not push the rest out of the window.
        self._state.setWordWrap(len(text) > LINE_CHARACTERS)
        self._state.setText(text)
        self._timer.start()
