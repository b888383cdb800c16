"""The colours of the plots, mixed from the palette so that light and dark both come out right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from PySide6.QtGui import QColor, QPalette

from app.widgets.tokens import is_dark, station_style


@dataclass(frozen=True)
class Ink:
    """What the plots are drawn with; all colours are opaque, which is also the fastest."""

    ground: QColor
    text: QColor
    faint_text: QColor
    grid: QColor
    night: QColor
    twilight: QColor
    accent: QColor
    is_dark: bool

    @classmethod
    def of(cls, palette: QPalette) -> Self:
        """Return the ink for a palette."""
        ground = palette.color(QPalette.ColorRole.Base)
        text = palette.color(QPalette.ColorRole.Text)
        dark = is_dark(palette)
        night = mixed(ground, QColor("#4a6fa5" if dark else "#5b7499"), 0.30 if dark else 0.26)
        return cls(
            ground=ground,
            text=text,
            faint_text=mixed(ground, text, 0.72),
            grid=mixed(ground, text, 0.16),
            night=night,
            twilight=mixed(ground, night, 0.5),
            accent=palette.color(QPalette.ColorRole.Highlight),
            is_dark=dark,
        )

    def station(self, index: int) -> QColor:
        """Return the colour of a station, counted from 0."""
        return QColor(station_style(index).colour(dark=self.is_dark))

    def ghost(self, index: int, strength: float) -> QColor:
        """Return the colour of a station's earlier curve; strength runs from 0 to 1."""
        return mixed(self.ground, self.station(index), 0.42 * strength)


def mixed(under: QColor, over: QColor, share: float) -> QColor:
    """Return a colour between two: none of the upper one at 0, only it at 1."""

    def between(low: int, high: int) -> int:
        return round(low + (high - low) * share)

    return QColor(
        between(under.red(), over.red()),
        between(under.green(), over.green()),
        between(under.blue(), over.blue()),
    )
