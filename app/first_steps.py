"""What a first start offers: a line over the day, until it is used or closed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from app.editors.place.locator_field import NAME as LOCATOR
from app.main_window import MainWindow
from app.state.settings import Settings
from app.widgets.flow import FlowLayout
from app.widgets.tokens import GRID_PX, tints

SHOWN = "An invented example."
NEW, EXAMPLES, GUIDE = "New for my place", "Examples", "Guide"
NEW_TIP = "Begin a scenario of your own: type your locator, then the numbers of your parts"
EXAMPLES_TIP = "Other scenarios that come with the program"
GUIDE_TIP = "What the program does and how to use it (F1)"
CLOSE_TIP = "Close this line for good"


class FirstSteps(QWidget):
    """Says that an example is shown, and where to go from it; never takes the keyboard."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self._shown = window.document.kept
        self.setAccessibleName("first steps")
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setAutoFillBackground(True)
        self.new = self._button(NEW, NEW_TIP)
        self.examples = self._button(EXAMPLES, EXAMPLES_TIP)
        self.examples.setMenu(window.examples)
        self.examples.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.guide = self._button(GUIDE, GUIDE_TIP)
        self.cross = self._button("✕", CLOSE_TIP)
        self.cross.setAutoRaise(True)
        self.cross.setAccessibleName(CLOSE_TIP)
        inside = QWidget()
        flow = FlowLayout(inside)
        for widget in (QLabel(SHOWN), self.new, self.examples, self.guide):
            flow.addWidget(widget)
        line = QHBoxLayout(self)
        line.setContentsMargins(GRID_PX, 3, GRID_PX, 3)
        line.addWidget(inside, 1)
        line.addWidget(self.cross, 0, Qt.AlignmentFlag.AlignTop)
        self.new.clicked.connect(self._on_new)
        self.guide.clicked.connect(self._on_guide)
        self.cross.clicked.connect(self._end)
        window.examples.triggered.connect(self._end)
        window.document.file_changed.connect(self._on_file_changed)

    def _button(self, text: str, tip: str) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(tip)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _on_new(self) -> None:
        window = self._window
        window.files.new()
        if window.document.kept is not self._shown:
            window.ways.go_place()
            window.place.editors[LOCATOR].setFocus()
            self._end()

    def _on_guide(self) -> None:
        self._window.help.open_guide()
        self._end()

    def _on_file_changed(self) -> None:
        """Go once something else is shown, or the example has become a file of one's own."""
        document = self._window.document
        if document.path is not None or document.kept != self._shown:
            self._end()

    def _end(self) -> None:
        if not self.isHidden():
            self._window.settings.first_steps_over = True
            self.hide()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        with QPainter(self) as painter:
            painter.setPen(QColor(tints().line))
            painter.drawLine(self.rect().bottomLeft(), self.rect().bottomRight())


def offer_first_steps(window: MainWindow, settings: Settings) -> FirstSteps | None:
    """Offer the first steps where the example is shown and nothing is remembered yet."""
    is_known = settings.first_steps_over or settings.recent_files or settings.home is not None
    document = window.document
    if is_known or document.path is not None or not document.is_clean:
        return None
    steps = FirstSteps(window)
    window.day_lens.put_above(steps)
    return steps
