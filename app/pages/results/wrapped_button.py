"""A flat button whose words go on in as many lines as they need."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QPaintEvent, QPalette
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QStylePainter, QWidget

_PAD = 4
_FLAGS = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop


class WrappedButton(QAbstractButton):
    """Plain words over the whole width; lit while the mouse or the keyboard is on it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = ""
        # What is around asks for the same few widths over and over.
        self._heights: dict[int, int] = {}
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)

    def show_words(self, words: str) -> None:
        """Show other words."""
        self._words = words
        self._heights.clear()
        self.setAccessibleName(words)
        self.updateGeometry()
        self.update()

    @property
    def words(self) -> str:
        """The words shown."""
        return self._words

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        if width not in self._heights:
            room = QRect(0, 0, max(width - 2 * _PAD, 40), 100_000)
            words = self.fontMetrics().boundingRect(room, int(_FLAGS), self._words)
            self._heights[width] = words.height() + 2 * _PAD
        return self._heights[width]

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._heights.clear()
            self.updateGeometry()

    def sizeHint(self) -> QSize:
        width = self.fontMetrics().horizontalAdvance("0") * 40
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(self.fontMetrics().horizontalAdvance("0") * 16, self.fontMetrics().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        if self.underMouse() or self.hasFocus():
            painter.fillRect(self.rect(), self.palette().color(QPalette.ColorRole.Midlight))
        if self.hasFocus():
            painter.setPen(self.palette().color(QPalette.ColorRole.Highlight))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
        inside = self.rect().adjusted(_PAD, _PAD, -_PAD, -_PAD)
        painter.drawText(inside, int(_FLAGS), self._words)
