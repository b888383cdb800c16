"""The pages on the screen as they will be on paper: a widget to be set into a window."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPalette, QPixmap, QWheelEvent
from PySide6.QtWidgets import QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from app.printing.marks import UNITS_PER_INCH, Page
from app.printing.paint import paint_page, painting
from app.widgets.pixels import blank_pixels

ZOOM_STEP = 1.2
SMALLEST_ZOOM, LARGEST_ZOOM = 0.25, 6.0
EDGE = 12
KEY_ZOOMS = {
    Qt.Key.Key_Plus: ZOOM_STEP, Qt.Key.Key_Equal: ZOOM_STEP, Qt.Key.Key_Minus: 1 / ZOOM_STEP,
}  # fmt: skip


class _Sheet(QWidget):
    """One page drawn on white, whatever the colours of the window."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._page: Page | None = None
        self._picture = QPixmap()

    def show_page(self, page: Page | None, width: int, height: int) -> None:
        """Show a page in this many pixels."""
        self._page = page
        self.setFixedSize(max(width, 1), max(height, 1))
        self._picture = QPixmap()
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the page once and keep its picture until it or its size changes."""
        if self._page is None:
            return
        ratio = self.devicePixelRatioF()
        if self._picture.isNull() or self._picture.devicePixelRatio() != ratio:
            self._picture = _picture_of(self._page, self.size(), ratio)
        with painting(self) as painter:
            painter.drawPixmap(QPoint(0, 0), self._picture)
            painter.setPen(self.palette().color(QPalette.ColorRole.Mid))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))


def _picture_of(page: Page, size: QSize, ratio: float) -> QPixmap:
    picture = blank_pixels(size, ratio)
    picture.fill(QColor(255, 255, 255))
    with painting(picture) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint_page(painter, page, QRectF(0, 0, size.width(), size.height()))
    return picture


class PagePreview(QScrollArea):
    """Shows one page at a time.

    Keys: page up and down turn pages, + and - zoom, 0 fits the width, 1 shows the size of paper.
    The wheel zooms with Ctrl held. ``page_shown`` tells the page now seen, from 0.
    """

    page_shown = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pages: Sequence[Page] = ()
        self._index = 0
        self._zoom: float | None = None
        self._sheet = _Sheet()
        frame = QWidget()
        layout = QVBoxLayout(frame)
        layout.setContentsMargins(EDGE, EDGE, EDGE, EDGE)
        layout.addWidget(self._sheet, 0, Qt.AlignmentFlag.AlignHCenter)
        self.setWidget(frame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Page preview")

    def set_pages(self, pages: Sequence[Page]) -> None:
        """Show other pages; the page seen stays the same as far as there is one."""
        self._pages = pages
        self._index = min(self._index, max(len(pages) - 1, 0))
        self._refresh()

    @property
    def pages(self) -> Sequence[Page]:
        """The pages that can be turned to."""
        return self._pages

    @property
    def index(self) -> int:
        """Which page is seen, from 0."""
        return self._index

    @property
    def count(self) -> int:
        """How many pages there are."""
        return len(self._pages)

    def turn(self, pages: int) -> None:
        """Turn on by so many pages, or back."""
        wanted = min(max(self._index + pages, 0), max(len(self._pages) - 1, 0))
        if wanted != self._index:
            self._index = wanted
            self._refresh()
            self.verticalScrollBar().setValue(0)

    @property
    def zoom(self) -> float:
        """How large the page is shown against paper; 1 is its own size."""
        return self._zoom if self._zoom is not None else self._fitting_zoom()

    def set_zoom(self, zoom: float | None) -> None:
        """Show the page this large, or fit it to the width where it is None."""
        if zoom is not None:
            zoom = min(max(zoom, SMALLEST_ZOOM), LARGEST_ZOOM)
        self._zoom = zoom
        self._refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn pages and zoom."""
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_PageDown:
            self.turn(1)
        elif key == Qt.Key.Key_PageUp:
            self.turn(-1)
        elif key in KEY_ZOOMS:
            self.set_zoom(self.zoom * KEY_ZOOMS[key])
        elif key == Qt.Key.Key_0:
            self.set_zoom(None)
        elif key == Qt.Key.Key_1:
            self.set_zoom(1.0)
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom while Ctrl is held, else scroll."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.set_zoom(self.zoom * ZOOM_STEP ** (event.angleDelta().y() / 120))
            event.accept()
        else:
            super().wheelEvent(event)

    def resizeEvent(self, event: object) -> None:
        """Keep a page that fits the width fitting."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        if self._zoom is None:
            self._refresh()

    def _fitting_zoom(self) -> float:
        page = self._seen()
        room = self.width() - 2 * EDGE - self.verticalScrollBar().sizeHint().width() - 4
        if page is None:
            return 1.0
        return max(room / (page.width / UNITS_PER_INCH * self.logicalDpiX()), SMALLEST_ZOOM)

    def _seen(self) -> Page | None:
        return self._pages[self._index] if self._pages else None

    def _refresh(self) -> None:
        page = self._seen()
        if page is None:
            self._sheet.show_page(None, 1, 1)
            return
        pixels = self.zoom * self.logicalDpiX() / UNITS_PER_INCH
        self._sheet.show_page(page, round(page.width * pixels), round(page.height * pixels))
        self.page_shown.emit(self._index)
