"""Colours: light and dark after the system's palette, and how stations are told apart."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication


@dataclass(frozen=True)
class StationStyle:
    """How one station is drawn: colour, line and marker, so that no one of them is needed alone."""

    letter: str
    on_light: str
    on_dark: str
    line: Qt.PenStyle
    marker: str

    def colour(self, *, dark: bool) -> str:
        """Return the colour on a light or a dark ground."""
        return self.on_dark if dark else self.on_light


# The colours are those of M. Okabe and K. Ito, "Color Universal Design" (2008), a set that people
# with any common colour vision can tell apart; black turns white on a dark ground.
STATION_STYLES = (
    StationStyle("A", "#0072B2", "#56B4E9", Qt.PenStyle.SolidLine, "o"),
    StationStyle("B", "#D55E00", "#E69F00", Qt.PenStyle.DashLine, "s"),
    StationStyle("C", "#009E73", "#009E73", Qt.PenStyle.DotLine, "t"),
    StationStyle("D", "#CC79A7", "#CC79A7", Qt.PenStyle.DashDotLine, "d"),
)


def station_style(index: int) -> StationStyle:
    """Return the style of a station, counted from 0."""
    return STATION_STYLES[index % len(STATION_STYLES)]


def is_dark(palette: QPalette | None = None) -> bool:
    """Return whether the palette, by default the program's, is a dark one."""
    palette = palette or QApplication.palette()
    return palette.color(QPalette.ColorRole.Window).lightness() < 128


def level_colour(level: str, palette: QPalette | None = None) -> QColor:
    """Return the colour of the mark beside a finding; its word says the same."""
    dark = is_dark(palette)
    colours = {
        "error": "#FF9E66" if dark else "#A33F00",
        "warning": "#F0C05A" if dark else "#7A5200",
        "hint": "#7CC4F0" if dark else "#00507D",
    }
    return QColor(colours[level])


def night_palette() -> QPalette:
    """Return a dark palette, for a room with the lights out and for pictures of the window."""
    palette = QPalette()
    role = QPalette.ColorRole
    colours = {
        role.Window: "#1f2225", role.WindowText: "#e8e8e6", role.Base: "#17191b",
        role.AlternateBase: "#24282b", role.Text: "#e8e8e6", role.Button: "#2c3135",
        role.ButtonText: "#e8e8e6", role.ToolTipBase: "#2c3135", role.ToolTipText: "#e8e8e6",
        role.Highlight: "#2f6f9f", role.HighlightedText: "#ffffff", role.Link: "#7cc4f0",
        role.PlaceholderText: "#9aa0a4", role.Mid: "#4a5056", role.Light: "#3a4045",
        role.Dark: "#121415", role.Midlight: "#33383d", role.Shadow: "#000000",
    }  # fmt: skip
    for each, colour in colours.items():
        palette.setColor(each, QColor(colour))
    for each in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, each, QColor("#878c90"))
    return palette
