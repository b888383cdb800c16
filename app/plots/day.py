"""The day of the stations with its cursor, its read-out, its zoom and its pictures."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.charts.ink import Ink
from app.plots.band import BAND_LEGEND, band_words, between_words
from app.plots.base import ZOOM_STEP
from app.plots.day_chart import DayChart
from app.plots.outlook import Outlook, outlook_at, outlook_words
from app.plots.readout import ReadOut
from app.plots.words import day_words, moment_words
from model.engine.comparison import Comparison
from model.odds.odds import Odds
from model.results.minute import Moment, moment
from model.support.figures import offset_text

SETTLED_MS = 1200
FADE_MS = 90
FADE_STEPS = 5
NAME = "The day: state of charge, sun in and load out"
KEYS = (
    "Left and right arrows move the cursor by one minute, with Ctrl by ten, page keys by an hour,"
    " Home and End to the ends. Plus and minus zoom, 0 shows the whole run."
)
LEGEND = (
    "Shaded: night and twilight. Bar: full power; hatched: reduced; thin: receive only;"
    " none: off the air."
)
COLD_LEGEND = " Hatched below: charge unavailable in the cold."


class DayView(QWidget):
    """Shows a comparison over its days; tells the minute read out and changes nothing."""

    cursor_moved = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chart = DayChart(self)
        self.read_out = ReadOut(self)
        self._minute = 0
        self._moments: list[Moment | None] = []
        self._tells_band = False
        self._fading = 0
        self._settled = QTimer(self, singleShot=True, interval=SETTLED_MS)
        self._settled.timeout.connect(self._on_settled)
        self._fade = QTimer(self, interval=FADE_MS)
        self._fade.timeout.connect(self._on_fade)
        self._legend = QLabel(LEGEND, self)
        self._legend.setTextFormat(Qt.TextFormat.PlainText)
        self._legend.setWordWrap(True)
        self.whole_button = self._button("Whole run", "Show the whole run again (0)")
        self._closer = self._button("+", "Zoom in about the cursor (+)")
        self._wider = self._button("−", "Zoom out (−)")
        self.unit_button = self._button("Load in W", "Show the load as power instead of current")
        self.unit_button.setCheckable(True)
        self._lay_out()
        self.chart.setAccessibleName(NAME)
        self.setFocusProxy(self.chart)
        self.whole_button.clicked.connect(self.chart.show_whole)
        self._closer.clicked.connect(self._on_closer)
        self._wider.clicked.connect(self._on_wider)
        self.unit_button.toggled.connect(self.chart.show_load_in_w)
        self.chart.pointed.connect(self._on_pointed)
        self.chart.stretch_changed.connect(self._on_stretch_changed)
        self.chart.key_pressed.connect(self._on_key)
        self._dress()

    @property
    def cursor_minute(self) -> int:
        """The minute read out, elapsed since the start of the run."""
        return self._minute

    @property
    def has_ghost(self) -> bool:
        """Whether an earlier curve is still seen behind the present one."""
        return self._settled.isActive() or self._fade.isActive()

    def show_comparison(self, comparison: Comparison, *, ghost: bool = False) -> None:
        """Show a comparison; with ghost, what was shown before the change stays as a faint curve.

        Through a row of changes the ghost is what stood before the first of them. Once no more
        come it fades away.
        """
        before = self.chart.comparison
        alike = before is not None and _same_clock(before, comparison)
        if not (ghost and alike):
            self._end_ghost()
        elif not self.has_ghost or self._fade.isActive():
            self._end_ghost()
            self.chart.keep_ghost()
            self.chart.fade_ghost(1.0)
        if ghost and alike:
            self._settled.start()
        self.chart.show_comparison(comparison)
        self._show_legend(comparison)
        self.move_cursor(self._minute)

    def tell_band(self, is_told: bool) -> None:
        """Explain the band of doubt in the legend, or take explanation and band away."""
        self._tells_band = is_told
        if not is_told:
            self.show_band(None)
        if self.chart.comparison is not None:
            self._show_legend(self.chart.comparison)

    def show_band(self, spread: Odds | None) -> None:
        """Show the band of doubt of the comparison shown, or none; the next one takes it away."""
        self.chart.band.show_spread(spread)
        if self.chart.comparison is not None:
            self._read_out(self.chart.comparison)

    def show_outlook(self, outlook: Outlook | None) -> None:
        """Show the field check of a station of the comparison shown, or none.

        The next comparison takes it away.
        """
        self.chart.show_outlook(outlook)
        if self.chart.comparison is not None:
            self._read_out(self.chart.comparison)

    def _show_legend(self, comparison: Comparison) -> None:
        # The same words while a newer band is worked out: the plot keeps its height.
        band = BAND_LEGEND if self._tells_band else ""
        cold = COLD_LEGEND if self.chart.has_cold_floor else ""
        zone = f" {comparison.scenario.site.timezone}, {offset_text(comparison.clock.start)}."
        self._legend.setText(LEGEND + cold + band + zone)

    def move_cursor(self, minute: int) -> None:
        """Read out another minute, elapsed since the start of the run."""
        comparison = self.chart.comparison
        if comparison is None:
            return
        self._minute = min(max(minute, 0), comparison.clock.steps - 1)
        self._moments = [
            None if run is None else moment(run, self._minute) for run in comparison.runs
        ]
        self._read_out(comparison)
        self._draw_cursor()
        self.cursor_moved.emit(self._minute)

    def _read_out(self, comparison: Comparison) -> None:
        """Show the minute under the day, and say it with the whole plot to those who listen."""
        self.read_out.show_moments(comparison, self._moments, self._beside(comparison))
        self.chart.setAccessibleDescription(" ".join(filter(None, self._told(comparison))))

    def _beside(self, comparison: Comparison) -> list[str]:
        """Return what is said of each station's charge beside the number itself."""
        spread, outlook = self.chart.band.spread, self.chart.outlook.outlook
        said = []
        for index in range(len(comparison.runs)):
            band = between_words(spread, index, self._minute) if spread is not None else ""
            read = (
                outlook_at(outlook, self._minute)
                if outlook is not None and outlook.index == index
                else ""
            )
            said.append(", ".join(filter(None, (band, read))))
        return said

    def _told(self, comparison: Comparison) -> list[str]:
        """Return the sentences of the plot as read aloud."""
        spread, outlook = self.chart.band.spread, self.chart.outlook.outlook
        band = band_words(comparison, spread, self._minute) if spread is not None else ""
        read = outlook_words(comparison, outlook, self._minute) if outlook is not None else ""
        return [moment_words(comparison, self._moments), band, read, day_words(comparison), KEYS]

    def save_png(self, path: Path) -> None:
        """Save the plot as an image; raise SaveError, which says why, where that fails."""
        self.chart.save_png(path)

    def save_svg(self, path: Path) -> None:
        """Save the plot as lines and text; raise SaveError, which says why, where that fails."""
        comparison = self.chart.comparison
        title = comparison.scenario.title if comparison is not None else ""
        self.chart.save_svg(path, title)

    def copy_image(self) -> None:
        """Put the plot on the clipboard as an image."""
        QGuiApplication.clipboard().setImage(self.chart.picture())

    def changeEvent(self, event: QEvent) -> None:
        """Take over another palette or another size of text."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._dress()

    def showEvent(self, event: QShowEvent) -> None:
        """Lay the panes out once there is a size."""
        super().showEvent(event)
        self.chart.lay_out()

    def _button(self, text: str, tip: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setToolTip(tip)
        button.setAccessibleName(tip if len(text) == 1 else text)
        button.setAutoDefault(False)
        return button

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setContentsMargins(4, 0, 4, 0)
        row.addWidget(self._legend, 1)
        for button in (self.unit_button, self._wider, self._closer, self.whole_button):
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.chart, 1)
        column.addLayout(row)
        column.addWidget(self.read_out)

    def _dress(self) -> None:
        ink = Ink.of(self.palette())
        self.chart.dress_in(ink)
        self.read_out.dress(ink)
        for button in (self._closer, self._wider):
            button.setFixedWidth(button.fontMetrics().height() * 2)
        self._draw_cursor()

    def _draw_cursor(self) -> None:
        colour = Ink.of(self.palette()).text
        for pane in (self.chart.charge, self.chart.sun, self.chart.load):
            pane.show_cursor(self._minute, colour)

    def _end_ghost(self) -> None:
        self._settled.stop()
        self._fade.stop()
        self.chart.drop_ghost()

    def _on_settled(self) -> None:
        self._fading = FADE_STEPS
        self._fade.start()

    def _on_fade(self) -> None:
        self._fading -= 1
        if self._fading <= 0:
            self._end_ghost()
        else:
            self.chart.fade_ghost(self._fading / FADE_STEPS)

    def _on_pointed(self, minute: float) -> None:
        self.move_cursor(int(minute))

    def _on_closer(self) -> None:
        self.chart.reveal(self._minute)
        self.chart.zoom(ZOOM_STEP**2, float(self._minute))

    def _on_wider(self) -> None:
        span = self.chart.span
        self.chart.zoom(ZOOM_STEP**-2, (span.low + span.high) / 2)

    def _on_stretch_changed(self) -> None:
        self.whole_button.setEnabled(not self.chart.span.is_whole)
        self._wider.setEnabled(not self.chart.span.is_whole)
        self._draw_cursor()

    def _on_key(self, event: QKeyEvent) -> None:
        wide = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        key = Qt.Key(event.key())
        by = {
            Qt.Key.Key_Left: -10 if wide else -1,
            Qt.Key.Key_Right: 10 if wide else 1,
            Qt.Key.Key_PageUp: -60,
            Qt.Key.Key_PageDown: 60,
            Qt.Key.Key_Home: -(10**9),
            Qt.Key.Key_End: 10**9,
        }.get(key)
        if by is not None:
            self.move_cursor(self._minute + by)
            self.chart.reveal(self._minute)
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy_image()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self._on_closer()
        elif key == Qt.Key.Key_Minus:
            self._on_wider()
        elif key in (Qt.Key.Key_0, Qt.Key.Key_Escape):
            self.chart.show_whole()
        else:
            return
        event.accept()


def _same_clock(one: Comparison, other: Comparison) -> bool:
    return one.clock == other.clock
