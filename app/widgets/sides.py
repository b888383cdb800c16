"""Two sides with a divide that can be dragged; without room for both the left one is a drawer."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QFrame, QVBoxLayout, QWidget

from app.widgets.tokens import tints

# Below so many digits across there is no room for both sides.
BOTH_SIDES_DIGITS = 112
DIVIDE_PX = 7
# So wide the left side is at least for its results, where that leaves enough at the right.
RESULTS_DIGITS, LOW_SHARE = 56, 0.42
LEAST_SHARE, MOST_SHARE, USUAL_SHARE = 0.22, 0.6, 0.44
DRAWER_SHARE = 0.86


class Sides(QWidget):
    """Lays two sides out; as a drawer the left one opens over the right one, and closes again.

    It closes by itself when the keyboard goes to what it covers.

    ``drawer_changed`` tells that the left side became a drawer or a side again, ``opened`` that
    the drawer was opened or closed.
    """

    drawer_changed = Signal(bool)
    opened = Signal(bool)

    def __init__(
        self, left: QWidget, right: QWidget, bar: QWidget, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        # The line of the right side with the button of the drawer: it stays in sight.
        self._bar = bar
        self.left, self.right = left, right
        self.dragged_share = 0.0
        self._is_drawer = False
        self._is_open = False
        self._wanted_px = 0
        self._frame = QFrame(self)
        self._frame.setAutoFillBackground(True)
        whole = QVBoxLayout(self._frame)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(left)
        right.setParent(self)
        self._divide = _Divide(self)
        self._divide.moved.connect(self._on_moved)
        self._frame.raise_()
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._on_focus_changed)

    @property
    def is_drawer(self) -> bool:
        """Whether there is room for one side at a time only."""
        return self._is_drawer

    @property
    def is_left_seen(self) -> bool:
        """Whether the left side is in sight."""
        return not self._is_drawer or self._is_open

    def want_left(self, width_px: int) -> None:
        """Say how wide the left side would best be; a divide that was dragged stays."""
        self._wanted_px = width_px
        self._lay_out()

    def open_drawer(self, is_open: bool = True) -> None:
        """Open or close the drawer; without one, nothing happens."""
        if self._is_drawer and is_open != self._is_open:
            self._is_open = is_open
            self._lay_out()
            self.opened.emit(is_open)

    def minimumSizeHint(self) -> QSize:
        return QSize(320, 160)

    def _lay_out(self) -> None:
        width, height = self.width(), self.height()
        is_drawer = width < self.fontMetrics().horizontalAdvance("0") * BOTH_SIDES_DIGITS
        if is_drawer != self._is_drawer:
            self._is_drawer, self._is_open = is_drawer, False
            self._frame.setFrameShape(
                QFrame.Shape.StyledPanel if is_drawer else QFrame.Shape.NoFrame
            )
            self.drawer_changed.emit(is_drawer)
        self._divide.setVisible(not is_drawer)
        if is_drawer:
            top = self._bar.sizeHint().height()
            self.right.setGeometry(0, 0, width, height)
            self._frame.setGeometry(0, top, round(width * DRAWER_SHARE), height - top)
            self._frame.setVisible(self._is_open)
            return
        left_px = self._left_px(width)
        self._frame.setVisible(True)
        self._frame.setGeometry(0, 0, left_px, height)
        self._divide.setGeometry(left_px, 0, DIVIDE_PX, height)
        self.right.setGeometry(QRect(left_px + DIVIDE_PX, 0, width - left_px - DIVIDE_PX, height))

    def _left_px(self, width: int) -> int:
        if self.dragged_share:
            return round(width * self.dragged_share)
        least = min(
            round(width * LOW_SHARE), self.fontMetrics().horizontalAdvance("0") * RESULTS_DIGITS
        )
        return min(round(width * USUAL_SHARE), max(self._wanted_px, least))

    def _on_focus_changed(self, _old: QWidget | None, new: QWidget | None) -> None:
        """Close the drawer where the keyboard went to something that it would cover."""
        if self._is_open and new is not None and self.right.isAncestorOf(new):
            self.open_drawer(self._bar.isAncestorOf(new))

    def _on_moved(self, x: int) -> None:
        share = x / max(self.width(), 1)
        self.dragged_share = min(max(share, LEAST_SHARE), MOST_SHARE)
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._is_open:
            self.open_drawer(False)
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._lay_out()


class _Divide(QWidget):
    """The line between the sides; ``moved`` carries where it is dragged to, from the left edge."""

    moved = Signal(int)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setCursor(Qt.CursorShape.SplitHCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self.moved.emit(round(self.mapToParent(event.position()).x()))

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.fillRect(self.width() // 2, 0, 1, self.height(), tints().line)
