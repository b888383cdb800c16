"""What everything seen is made of: two palettes, the type scale, the grid, the stations' marks.

All colours of the window come from here. Text has a contrast of 4.5 at least on each ground it
stands on (W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3); a test holds
every pair to it.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication

# Sizes of text over that of the body, and the step of all distances. [px]
HEADLINE, RESULTS, BODY, NOTES = 1.7, 1.2, 1.0, 0.9
GRID_PX = 8


@dataclass(frozen=True)
class Tints:
    """The colours of one palette, by what they are for."""

    window: str
    field: str
    # What is typed or ticked, told from the ground around it.
    entry: str
    raised: str
    hover: str
    line: str
    text: str
    quiet_text: str
    disabled_text: str
    accent: str
    on_accent: str
    selected: str
    on_selected: str
    # What is chosen in a list or table that has the keyboard.
    keyboard: str
    on_keyboard: str
    error: str
    warning: str
    hint: str
    # The ground of a field whose text was refused.
    refused: str

    @property
    def grounds(self) -> tuple[str, ...]:
        """What text stands on, apart from what is selected."""
        return (self.window, self.field, self.entry, self.raised, self.hover)


LIGHT = Tints(
    window="#f4f5f4", field="#ffffff", entry="#ffffff", raised="#fafbfa", hover="#eceeed",
    line="#cfd4d3",
    text="#1b2226", quiet_text="#576065", disabled_text="#646d71", accent="#2b6b5b",
    on_accent="#ffffff", selected="#2b6b5b", on_selected="#ffffff",
    keyboard="#10403a", on_keyboard="#ffffff", error="#9c3a00",
    warning="#7a5200", hint="#00507d", refused="#ffe9d9",
)  # fmt: skip
DARK = Tints(
    window="#1e2326", field="#171b1e", entry="#303a40", raised="#262c30", hover="#2c3338",
    line="#434b51",
    text="#e9ecec", quiet_text="#a6afb4", disabled_text="#9aa3a8", accent="#7ccdb4",
    on_accent="#10201b", selected="#30645a", on_selected="#ffffff",
    keyboard="#7ccdb4", on_keyboard="#10201b", error="#ff9e66",
    warning="#f0c05a", hint="#7cc4f0", refused="#4a2a14",
)  # fmt: skip


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


# The hues are those of M. Okabe and K. Ito, "Color Universal Design" (2008), a set that people
# with any common colour vision can tell apart; darker on a light ground, lighter on a dark one,
# where the set's own colour is too faint for text.
STATION_STYLES = (
    StationStyle("A", "#0072B2", "#56B4E9", Qt.PenStyle.SolidLine, "o"),
    StationStyle("B", "#B84F00", "#F0903C", Qt.PenStyle.DashLine, "s"),
    StationStyle("C", "#007A58", "#2FC596", Qt.PenStyle.DotLine, "t"),
    StationStyle("D", "#A8487C", "#E08ABB", Qt.PenStyle.DashDotLine, "d"),
)


def station_style(index: int) -> StationStyle:
    """Return the style of a station, counted from 0."""
    return STATION_STYLES[index % len(STATION_STYLES)]


def is_dark(palette: QPalette | None = None) -> bool:
    """Return whether the palette, by default the program's, is a dark one."""
    palette = palette or QApplication.palette()
    return palette.color(QPalette.ColorRole.Window).lightness() < 128


def tints(palette: QPalette | None = None) -> Tints:
    """Return the colours that belong to a palette, by default to the program's."""
    return DARK if is_dark(palette) else LIGHT


def level_colour(level: str, palette: QPalette | None = None) -> QColor:
    """Return the colour of the mark beside a finding; its word says the same."""
    own = tints(palette)
    return QColor({"error": own.error, "warning": own.warning, "hint": own.hint}[level])


def light_palette() -> QPalette:
    """Return the palette of a bright room, and of paper."""
    return _palette(LIGHT)


def dark_palette() -> QPalette:
    """Return the palette of a room with the lights out."""
    return _palette(DARK)


def entry_palette(*, dark: bool) -> QPalette:
    """Return the palette of what is typed in or ticked."""
    palette = dark_palette() if dark else light_palette()
    palette.setColor(QPalette.ColorRole.Base, QColor((DARK if dark else LIGHT).entry))
    return palette


def _palette(own: Tints) -> QPalette:
    palette = QPalette()
    role = QPalette.ColorRole
    shade = QColor(own.line)
    colours = {
        role.Window: own.window, role.WindowText: own.text, role.Base: own.field,
        role.AlternateBase: own.raised, role.Text: own.text, role.Button: own.raised,
        role.ButtonText: own.text, role.BrightText: own.error, role.ToolTipBase: own.raised,
        role.ToolTipText: own.text, role.Highlight: own.selected,
        role.HighlightedText: own.on_selected, role.Accent: own.accent, role.Link: own.accent,
        role.LinkVisited: own.accent, role.PlaceholderText: own.quiet_text, role.Mid: own.line,
        role.Light: own.field, role.Dark: shade.darker(125), role.Midlight: own.hover,
        role.Shadow: shade.darker(200),
    }  # fmt: skip
    for each, colour in colours.items():
        palette.setColor(each, QColor(colour))
    for each in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, each, QColor(own.disabled_text))
    return palette


def body_font(font: QFont, points: float) -> QFont:
    """Return a font of this size whose digits all have one width, so that numbers stand still."""
    own = QFont(font)
    own.setPointSizeF(points)
    metrics = QFontMetricsF(own)
    if len({metrics.horizontalAdvance(digit) for digit in "0123456789"}) > 1:
        # Only where it is needed: text with features takes longer to lay out.
        own.setFeature(QFont.Tag("tnum"), 1)
    return own
