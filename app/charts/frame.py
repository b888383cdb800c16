"""The field of a drawing with a scale along each side: from a pair of values to its place."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF

from app.charts.scale import Scale


@dataclass(frozen=True)
class Frame:
    """Where a field stands, and what runs across it and up; beyond its ends is its edge."""

    across: Scale
    up: Scale
    field: QRectF

    def at(self, point: tuple[float, float]) -> QPointF:
        """Return the place of a pair of values."""
        across, up = self.across.share(point[0]), self.up.share(point[1])
        return QPointF(
            self.field.left() + across * self.field.width(),
            self.field.bottom() - up * self.field.height(),
        )

    def values(self, place: QPointF) -> tuple[float, float]:
        """Return the pair of values at a place."""
        across = (place.x() - self.field.left()) / max(self.field.width(), 1.0)
        up = (self.field.bottom() - place.y()) / max(self.field.height(), 1.0)
        return self.across.value(across), self.up.value(up)
