"""The scale beside a pane of the plotting library, marked by the rule of all scales."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtGui import QFontMetricsF, QGuiApplication

from app.charts.scale import even_ticks, room_up, tick_texts


class ValueAxis(pg.AxisItem):  # type: ignore[misc]
    """An upright scale; its numbers are the same on a screen and in a picture of twice the size."""

    def marked(self, low: float, high: float) -> list[float]:
        """Return the values there is room to mark."""
        room = room_up(self.height(), QFontMetricsF(QGuiApplication.font()).height())
        return even_ticks(low, high, room)

    def tickValues(
        self, low: float, high: float, _device_px: float
    ) -> list[tuple[float, list[float]]]:
        """Return the values to mark, at the one level there is."""
        return [(high - low, self.marked(low, high))]

    def tickStrings(
        self, values: list[float], _scale: float = 1.0, _spacing: float = 0.0
    ) -> list[str]:
        """Return the text of each value."""
        return tick_texts(values)
