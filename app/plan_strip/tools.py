"""The line over the strip: what a new block is, what to do with the chosen one, ready patterns."""

from __future__ import annotations

import re

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QSizePolicy,
    QSpinBox,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.fields.choices import explain_last
from app.fields.editor import NoteLabel, plain_tip
from app.fields.line import Line
from app.fields.words import tip_of, word_of
from app.flow import FlowLayout
from model.editing.edit_plan import CONTINUOUS, FIFTEEN_MINUTES_AN_HOUR, FIVE_MINUTES_AN_HOUR
from model.editing.field_facts import field_at
from model.scenario.declare import MINUTES_A_DAY

PATTERNS = (
    ("Continuous watch", CONTINUOUS),
    ("First five minutes of each hour", FIVE_MINUTES_AN_HOUR),
    ("Fifteen minutes an hour", FIFTEEN_MINUTES_AN_HOUR),
)
USUAL_TIMES = "08:00 13:00 18:00"
NETS = "Net at set times…"
_TIME = re.compile(r"(\d{1,2})[:.h]?(\d{2})?")


class StripTools(QWidget):
    """Says what is wanted; holds only what a new block is to be."""

    activity_chosen = Signal(str)
    asked = Signal(str)
    watch_wanted = Signal(float)
    nets_wanted = Signal(object, int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.activity = QComboBox(self)
        for choice in field_at("plan.0.activity").choices:
            self.activity.addItem(word_of(choice), choice)
            explain_last(self.activity, tip_of("activity", choice))
        self.activity.setCurrentIndex(self.activity.findData("watch"))
        self.activity.setAccessibleName("Activity of a new block")
        self.activity.setToolTip("Drag over free time on the strip to paint a block of this kind")
        self.buttons = {
            wish: self._button(text, tip)
            for wish, text, tip in (
                ("add", "Add", "Add a block in the next free time (N)"),
                ("split", "Split", "Cut the chosen block in two (S)"),
                ("copy", "Copy", "Put a copy of the chosen block in the next free time (Ctrl+D)"),
                ("delete", "Delete", "Take the chosen block away (Delete)"),
            )
        }
        self.patterns = QToolButton(self)
        self.patterns.setText("Patterns")
        self.patterns.setToolTip(
            "Set the watch and fill free time with it, or add nets; planned off stays off"
        )
        self.patterns.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.menu = QMenu(self.patterns)
        for text, share in PATTERNS:
            self.menu.addAction(text).setData(share)
        self.menu.addSeparator()
        self.menu.addAction(NETS)
        self.patterns.setMenu(self.menu)
        self.pointer = PassingLabel(self)
        self.nets = NetRow(self)
        self.nets.hide()
        self._lay_out()
        self.activity.activated.connect(self._on_activity)
        self.menu.triggered.connect(self._on_pattern)
        self.nets.wanted.connect(self.nets_wanted)

    def show_chosen(self, is_chosen: bool) -> None:
        """Offer what can be done with a chosen block, or not."""
        for wish in ("split", "copy", "delete"):
            self.buttons[wish].setEnabled(is_chosen)

    def _button(self, text: str, tip: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setToolTip(tip)
        button.setAccessibleName(f"{text} block")
        button.setAutoDefault(False)
        button.clicked.connect(self._on_clicked)
        return button

    def _lay_out(self) -> None:
        flowing = QWidget(self)
        flow = FlowLayout(flowing)
        label = QLabel("24-hour plan, local time. &New block:", self)
        label.setBuddy(self.activity)
        for widget in (label, self.activity, *self.buttons.values(), self.patterns):
            flow.addWidget(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 0, 4, 0)
        column.setSpacing(2)
        column.addWidget(flowing)
        column.addWidget(self.pointer)
        column.addWidget(self.nets)

    def _on_clicked(self) -> None:
        for wish, button in self.buttons.items():
            if button is self.sender():
                self.asked.emit(wish)

    def _on_activity(self, index: int) -> None:
        self.activity_chosen.emit(self.activity.itemData(index))

    def _on_pattern(self, action: QAction) -> None:
        if action.text() == NETS:
            self.nets.setVisible(not self.nets.isVisible())
            if self.nets.isVisible():
                self.nets.times.setFocus()
        else:
            self.watch_wanted.emit(action.data())


class PassingLabel(QLabel):
    """Words at the right that may be cut short: they never make the line longer."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._words = ""

    def show_words(self, words: str) -> None:
        """Show words, as much of them as there is room for."""
        self._words = words
        self.setToolTip(plain_tip(words) if words else "")
        self._elide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._elide()

    def _elide(self) -> None:
        elided = self.fontMetrics().elidedText(
            self._words, Qt.TextElideMode.ElideRight, self.width()
        )
        if elided != self.text():
            self.setText(elided)


class NetRow(QWidget):
    """Asks at which times the nets are and how long they last."""

    wanted = Signal(object, int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.times = Line(24, self)
        self.times.setText(USUAL_TIMES)
        self.times.setAccessibleName("Times of the nets")
        self.minutes = QSpinBox(self)
        self.minutes.setRange(1, MINUTES_A_DAY)
        self.minutes.setValue(30)
        self.minutes.setSuffix(" min")
        self.minutes.setAccessibleName("Length of each net")
        self.place = QPushButton("Add nets", self)
        self.place.setAutoDefault(False)
        self.note = NoteLabel(self)
        row = QHBoxLayout()
        row.addWidget(QLabel("Voice nets at", self))
        row.addWidget(self.times)
        row.addWidget(QLabel("for", self))
        row.addWidget(self.minutes)
        row.addWidget(self.place)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addLayout(row)
        column.addWidget(self.note)
        self.place.clicked.connect(self._on_place)
        self.times.returnPressed.connect(self._on_place)
        self.times.textEdited.connect(self._on_typed)
        self.times.given_up.connect(self._on_given_up)

    def _on_place(self) -> None:
        starts = starts_of(self.times.text())
        self._show_right(bool(starts))
        if starts:
            self.wanted.emit(starts, self.minutes.value())

    def _on_typed(self, text: str) -> None:
        if self.times.is_marked:
            self._show_right(bool(starts_of(text)))

    def _on_given_up(self) -> None:
        self.times.show_text(USUAL_TIMES)
        self._show_right(True)

    def _show_right(self, is_right: bool) -> None:
        self.times.mark(not is_right)
        fault = "Times of the day separated by spaces, such as 08:00 13:00 18:00."
        self.note.show_lines("error", [] if is_right else [fault])


def starts_of(text: str) -> tuple[int, ...]:
    """Return the times in a text in minutes since midnight; none when one cannot be read."""
    starts = []
    for word in re.split(r"[\s,;]+", text.strip()):
        found = _TIME.fullmatch(word)
        hours, minutes = (int(found[1]), int(found[2] or 0)) if found else (99, 99)
        if hours > 23 or minutes > 59:
            return ()
        starts.append(hours * 60 + minutes)
    return tuple(starts)
