"""Pixels to draw on, as fine as the screen they are for."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QPixmap


def blank_pixels(size: QSize, ratio: float) -> QPixmap:
    """Return pixels of a size on the screen [px], so many to each of its own."""
    pixels = QPixmap(size * ratio)
    pixels.setDevicePixelRatio(ratio)
    return pixels
