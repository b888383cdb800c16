"""A line that opens in place: a button with a title and one number, and a body below it."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import (
    QSizePolicy,
    QStyle,
    QStyleOption,
    QStyleOptionButton,
    QStylePainter,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.fields.editor import NoteLabel, plain_tip
from app.laid_out_once import laid_out_once
from app.widgets.tokens import level_colour

MARKS = {"error": "✕", "warning": "▲", "hint": "•"}


class FoldButton(QToolButton):
    """The line itself: title at the left, part in the middle, its number at the right."""

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._title = title
        self._part = ""
        self._number = ""
        self._level = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.show_line("", "", "")

    def show_line(self, part: str, number: str, level: str) -> None:
        """Show the part's name, its number, and the gravest finding inside."""
        self._part, self._number, self._level = part, number, level
        self.setText(self._title)
        words = [self._title, part, number, level and f"has a finding: {level}"]
        self.setAccessibleName(", ".join(word for word in words if word))
        self.setToolTip(plain_tip(part) if part else "")
        self.update()

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        width = metrics.horizontalAdvance(f"▸ {self._title}  {self._number}  ") + 16
        return QSize(width, metrics.height() + 8)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        option = QStyleOptionButton()
        option.initFrom(self)
        option.features = QStyleOptionButton.ButtonFeature.Flat
        if self.isDown():
            option.state |= QStyle.StateFlag.State_Sunken
        if self.underMouse() or self.hasFocus():
            painter.fillRect(self.rect(), self.palette().color(QPalette.ColorRole.Midlight))
        self._paint_words(painter)
        if self.hasFocus():
            self._paint_focus(painter)

    def _paint_words(self, painter: QPainter) -> None:
        metrics, inside = self.fontMetrics(), self.rect().adjusted(6, 0, -6, 0)
        flags = Qt.AlignmentFlag.AlignVCenter
        start = f"{'▾' if self.isChecked() else '▸'} {self._title}"
        painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
        painter.drawText(inside, flags | Qt.AlignmentFlag.AlignLeft, start)
        number_width = metrics.horizontalAdvance(self._number)
        painter.drawText(inside, flags | Qt.AlignmentFlag.AlignRight, self._number)
        right = inside.right() - number_width - 6
        if self._level:
            mark = MARKS[self._level]
            painter.setPen(level_colour(self._level))
            right -= metrics.horizontalAdvance(mark)
            painter.drawText(right, inside.top(), 100, inside.height(), flags, mark)
            right -= 6
        left = inside.left() + max(metrics.horizontalAdvance(start), title_width(metrics)) + 8
        if right - left > metrics.horizontalAdvance("mmm"):
            painter.setPen(self.palette().color(QPalette.ColorRole.PlaceholderText))
            shown = metrics.elidedText(self._part, Qt.TextElideMode.ElideRight, right - left)
            painter.drawText(left, inside.top(), right - left, inside.height(), flags, shown)

    def _paint_focus(self, painter: QStylePainter) -> None:
        option = QStyleOption()
        option.initFrom(self)
        painter.setPen(self.palette().color(QPalette.ColorRole.Highlight))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))


def title_width(metrics: QFontMetrics) -> int:
    """Return the width of the longest title, so that the parts' names stand in a column."""
    return metrics.horizontalAdvance("▸ Controller")


class Fold(QWidget):
    """A line and its body; the body is built when it is first opened."""

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.button = FoldButton(title)
        self.body: QWidget | None = None
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._whole.setSpacing(0)
        self._whole.addWidget(self.button)
        self._note = NoteLabel()
        self._note.setContentsMargins(18, 0, 6, 2)
        self._said: tuple[str, list[str]] = ("hint", [])
        self._whole.addWidget(self._note)
        self.button.toggled.connect(self._on_toggled)

    @property
    def is_open(self) -> bool:
        """Whether the body is shown."""
        return self.button.isChecked()

    def set_open(self, is_open: bool) -> None:
        """Open or close."""
        self.button.setChecked(is_open)

    def show_note(self, level: str, lines: list[str]) -> None:
        """Say what is found of the whole of it; seen while it is open."""
        self._said = (level or "hint", lines)
        self._note.show_lines(self._said[0], lines if self.is_open else [])

    def make_body(self) -> QWidget:
        """Return a new body; called each time the fold opens without one."""
        raise NotImplementedError

    def exchange(self, body: QWidget | None) -> QWidget | None:
        """Put another body in place of the present one, or none yet; return that one, unseen."""
        before, self.body = self.body, body
        if before is not None:
            before.hide()
        self._show_body()
        return before

    def _show_body(self) -> None:
        if self.is_open and self.body is None:
            self.body = self.make_body()
            self._whole.addWidget(self.body)
        if self.body is not None:
            self.body.setVisible(self.is_open)

    def _on_toggled(self) -> None:
        with laid_out_once(self):
            self._show_body()
            self.show_note(*self._said)
