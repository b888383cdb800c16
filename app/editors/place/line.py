"""Place and day in one line, as a button that opens the whole of them, and the sky beside it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QToolButton, QWidget

from app.editors.fields.editor import plain_tip
from app.state.display import Display
from app.widgets.icons import IconDress
from app.widgets.tokens import GRID_PX
from model.scenario.scenario import Scenario
from model.sky.timeline import timeline

TIP = "Place, dates, temperatures, sky, horizon, months and notes (F2)"
NAME_LETTERS = 28
BETWEEN = "  ·  "


class PlaceLine(QToolButton):
    """Says where and when; a click opens what it says to be changed."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._shown: tuple[object, ...] = ()
        self._words: tuple[str, ...] = ()
        self.setToolTip(plain_tip(TIP))
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        # What comes last is left out rather than put into a line of its own.
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        IconDress(self, "opens")

    def show_scenario(self, scenario: Scenario) -> None:
        """Say where and when a scenario is."""
        shown = (scenario.site, scenario.day, self._display.is_us)
        if shown != self._shown:
            self._shown = shown
            words = place_words(scenario, self._display)
            if words == self._words:
                return
            self._words = words
            self.setAccessibleName(f"place and day: {BETWEEN.join(self._words)}")
            self._show_what_fits()
            self.updateGeometry()

    def _width_px(self, words: tuple[str, ...]) -> int:
        text_px = self.fontMetrics().horizontalAdvance(BETWEEN.join(words))
        return text_px + self.iconSize().width() + 2 * GRID_PX + 4

    def _show_what_fits(self) -> None:
        """Leave out what comes last until the rest has room; all of it is in the sheet."""
        words = self._words
        while len(words) > 1 and self._width_px(words) > self.width():
            words = words[:-1]
        self.setText(BETWEEN.join(words).replace("&", "&&"))

    def sizeHint(self) -> QSize:
        return QSize(self._width_px(self._words), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return QSize(self._width_px(self._words[:1]), super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._show_what_fits()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._show_what_fits()
            self.updateGeometry()


def place_words(scenario: Scenario, display: Display) -> tuple[str, ...]:
    """Return place, dates, hour of the start, and temperatures."""
    site, day = scenario.site, scenario.day
    name = " ".join(site.name.split()) or "Unnamed place"
    if len(name) > NAME_LETTERS:
        name = f"{name[: NAME_LETTERS - 1].rstrip()}…"
    dates = timeline(site, day).dates
    first, last = dates[0], dates[-1]
    end = f"{last:%a} {last.day} {last:%b %Y}"
    if len(dates) == 1:
        when = end
    elif (first.year, first.month) == (last.year, last.month):
        when = f"{first:%a} {first.day} – {end}"
    else:
        when = f"{first:%a} {first.day} {first:%b} – {end}"
    start_min = round(day.start_hour * 60)
    start = f"from {start_min // 60:02}:{start_min % 60:02}"
    low, high = (display.quantity(each, "°C", 0) for each in (min(day.low_c), max(day.high_c)))
    return name, when, start, f"{low} to {high}"
