"""The fonts of the drawings, from the program's own and its scale of sizes."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtGui import QFont, QFontMetricsF, QGuiApplication

from app.widgets.tokens import NOTES

# So many texts are measured before all are forgotten: what is drawn again and again is far less.
MEASURED_TEXTS = 2000


class Measured:
    """How high a font is and how wide texts are in it, each measured once."""

    def __init__(self, font: QFont) -> None:
        self._metrics = QFontMetricsF(font)
        self.height_px = self._metrics.height()
        self.width_px = lru_cache(maxsize=MEASURED_TEXTS)(self._metrics.horizontalAdvance)


_MEASURED: dict[str, Measured] = {}


def measured(font: QFont) -> Measured:
    """Return the measures of a font; a program uses few of them."""
    key = font.key()
    if key not in _MEASURED:
        _MEASURED[key] = Measured(font)
    return _MEASURED[key]


def bold_font() -> QFont:
    """Return the program's font in bold."""
    font = QGuiApplication.font()
    font.setBold(True)
    return font


def note_font() -> QFont:
    """Return the program's font in the size of notes."""
    font = QGuiApplication.font()
    font.setPointSizeF(font.pointSizeF() * NOTES)
    return font
