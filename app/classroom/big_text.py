"""Text as large as its room allows, never smaller than can be read across a class room."""

from __future__ import annotations

from math import ceil

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.printing.paint import painting
from app.widgets.tokens import tints

# On a picture 1.2 m high, a 28th of the height is 43 mm of type, whose capitals are a
# 260th of eight metres; a 300th is the least that is easily read: common practice, no source.
LEAST_SHARE = 28
MARGIN_PX = 4


def least_px(widget: QWidget) -> int:
    """Return the smallest size of type in the window a widget is in."""
    return max(ceil(widget.window().height() / LEAST_SHARE), 10)


def sized(font: QFont, pixels: int, *, bold: bool = False) -> QFont:
    """Return a font in another size."""
    made = QFont(font)
    made.setPixelSize(max(pixels, 1))
    made.setBold(bold)
    return made


class BigText(QWidget):
    """Shows plain text, wrapped, in the largest size up to a limit that fits its place.

    ``most_share`` gives the largest size as a share of the window's height: 12 is a twelfth.
    """

    def __init__(
        self, most_share: float, *, bold: bool = False, quiet: bool = False, on_top: bool = False
    ) -> None:
        super().__init__()
        self._text = ""
        self._most_share, self._bold, self._quiet = most_share, bold, quiet
        upright = Qt.AlignmentFlag.AlignTop if on_top else Qt.AlignmentFlag.AlignVCenter
        self._flags = int(Qt.AlignmentFlag.AlignLeft | upright) | int(Qt.TextFlag.TextWordWrap)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def text(self) -> str:
        """What is shown."""
        return self._text

    def set_text(self, text: str) -> None:
        """Show other words; they are what a screen reader says too."""
        self._text = text.strip("\n").rstrip()
        self.setAccessibleName(self._text)
        self.updateGeometry()
        self.update()

    def size_px(self) -> int:
        """Return the size of type that fits, the least one where none does."""
        low = least_px(self)
        high = max(int(self.window().height() / self._most_share), low)
        while low < high:
            middle = (low + high + 1) // 2
            if self._fits(middle):
                low = middle
            else:
                high = middle - 1
        return low

    @property
    def is_clipped(self) -> bool:
        """Whether even the smallest size does not fit."""
        return bool(self._text) and not self._fits(least_px(self))

    def _fits(self, pixels: int) -> bool:
        metrics = QFontMetricsF(sized(self.font(), pixels, bold=self._bold))
        room = self._room()
        needed = metrics.boundingRect(room, self._flags, self._text)
        widest = max((metrics.horizontalAdvance(word) for word in self._text.split()), default=0)
        return needed.height() <= room.height() and widest <= room.width()

    def _room(self) -> QRectF:
        return QRectF(self.rect()).adjusted(0, MARGIN_PX, 0, -MARGIN_PX)

    def height_for(self, width_px: int, share: float | None = None) -> int:
        """Return the height the text takes at a width, in its largest or another size. [px]"""
        pixels = max(int(self.window().height() / (share or self._most_share)), least_px(self))
        metrics = QFontMetricsF(sized(self.font(), pixels, bold=self._bold))
        room = QRectF(0, 0, width_px, 1e5)
        return ceil(metrics.boundingRect(room, self._flags, self._text).height()) + 2 * MARGIN_PX

    def sizeHint(self) -> QSize:
        return QSize(400, least_px(self) * 2)

    def minimumSizeHint(self) -> QSize:
        return QSize(100, round(least_px(self) * 1.4)) if self._text else QSize(0, 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            painter.setFont(sized(self.font(), self.size_px(), bold=self._bold))
            own = tints(self.palette())
            painter.setPen(QColor(own.quiet_text if self._quiet else own.text))
            painter.drawText(self._room(), self._flags, self._text)
