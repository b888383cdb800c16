"""The read-out under the day: every station at the minute pointed at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from app.charts.ink import Ink
from app.charts.markers import SAMPLE_PX, draw_sample
from app.charts.time_marks import full_text
from app.fields.editor import plain_tip
from app.number_text import fixed, percent
from app.plots.words import station_name, uses_words
from app.widgets.tokens import station_style
from model.engine.comparison import Comparison
from model.results.minute import Moment
from model.scenario.scenario import STATIONS_LIMIT

COLUMNS = (
    ("Charge", "State of charge: stored over tested capacity"),
    ("Usable", "Ah usable at this temperature"),
    ("Battery", "Voltage at the battery"),
    ("Radio", "Voltage at the radio"),
    ("Load", "All loads together"),
    ("Sun", "Light that enters the panel"),
    ("Panel", "Power used of the panel; behind it what the panel could have given"),
)


# The widest text of each column, for its width.
WIDEST = ("100 %", "888.8 Ah", "88.88 V", "88.88 V", "88.88 A", "8888 W/m²", "888/888 W")
# So many columns stand in one line, the most that fit.
FOLDS = (7, 4, 3, 2)
GAP_PX = 8


@dataclass(frozen=True)
class Row:
    """What stands in the lines of one station."""

    sample: Sample
    name: QLabel
    cells: list[QLabel]
    uses: QLabel


class Sample(QWidget):
    """A short piece of a station's line."""

    def __init__(self, index: int, parent: QWidget) -> None:
        super().__init__(parent)
        self._index = index
        self.setFixedWidth(round(SAMPLE_PX) + 4)

    def sizeHint(self) -> QSize:
        """Return the size of the sample."""
        return QSize(round(SAMPLE_PX) + 4, 16)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the sample."""
        style = station_style(self._index)
        colour = Ink.of(self.palette()).station(self._index)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            at = QPointF(2, self.height() / 2)
            draw_sample(painter, at, colour, style.line, style.marker)


class ReadOut(QWidget):
    """A row of numbers for each station; all text is plain."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Read-out of one minute")
        # Its width is given by what stands around it; where that is little, the columns fold.
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(4, 2, 4, 2)
        self._grid.setHorizontalSpacing(GAP_PX)
        self._grid.setVerticalSpacing(1)
        self._time = self._label("")
        self._heads = [self._label(title, tip) for title, tip in COLUMNS]
        self._rows = [self._new_row(index) for index in range(STATIONS_LIMIT)]
        self._in_a_line = 0
        self._shown_rows = STATIONS_LIMIT
        self._fit()

    def show_moments(
        self,
        comparison: Comparison,
        moments: list[Moment | None],
        beside: Sequence[str] = (),
    ) -> None:
        """Show each station at one minute; None is a station that was not run.

        ``beside`` are words for each station on how far its charge is known.
        """
        at = next((moment.at for moment in moments if moment is not None), None)
        self._time.setText(full_text(at) if at is not None else "")
        self._show_rows(len(moments))
        for index, row in enumerate(self._rows):
            if index < len(moments):
                known = beside[index] if index < len(beside) else ""
                _fill(row, station_name(comparison, index), moments[index], known)
                self._show_uses(row)

    def _show_rows(self, count: int) -> None:
        """Show so many rows."""
        if count == self._shown_rows:
            return
        self._shown_rows = count
        for index, row in enumerate(self._rows):
            for widget in (row.sample, row.name, row.uses, *row.cells):
                widget.setVisible(index < count)

    def texts(self) -> list[list[str]]:
        """Return what stands in the rows: name, numbers, and what draws what."""
        return [
            [
                row.name.accessibleName(),
                *(cell.text() for cell in row.cells),
                row.uses.accessibleName(),
            ]
            for row in self._rows
            if not row.name.isHidden()
        ]

    @property
    def time_text(self) -> str:
        """The minute shown."""
        return self._time.text()

    def dress(self, ink: Ink) -> None:
        """Take over other colours, and the size of the program's text."""
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.WindowText, QColor(ink.faint_text))
        for head in self._heads:
            head.setPalette(palette)
        self._fit()

    def _fit(self) -> None:
        """Keep the columns where they are while the numbers change."""
        metrics = self.fontMetrics()
        time_px = metrics.horizontalAdvance("Wed 28 Sep 00:00, UTC+10:30 ")
        self._time.setMinimumWidth(time_px)
        for row in self._rows:
            row.name.setFixedWidth(time_px - row.sample.width())
        widths = [
            max(metrics.horizontalAdvance(text) for text in (widest, head.text())) + 2
            for head, widest in zip(self._heads, WIDEST, strict=True)
        ]
        for column, (head, width) in enumerate(zip(self._heads, widths, strict=True)):
            for label in (head, *(row.cells[column] for row in self._rows)):
                label.setFixedWidth(width)
        # Where not even two columns fit beside the names, what stands around must scroll.
        least = sum(max(widths[column :: FOLDS[-1]]) for column in range(FOLDS[-1]))
        self.setMinimumWidth(self._outside_px() + time_px + least + GAP_PX * (FOLDS[-1] + 2))
        self._fold(self._how_many(time_px, widths))
        for row in self._rows:
            self._show_uses(row)

    def _how_many(self, time_px: int, widths: list[int]) -> int:
        """Return how many columns fit beside one another."""
        room = self.width() - self._outside_px() - time_px
        for count in FOLDS:
            folded = [max(widths[column::count]) for column in range(count)]
            if sum(folded) + GAP_PX * (count + 2) <= room:
                return count
        return FOLDS[-1]

    def _outside_px(self) -> int:
        margins = self._grid.contentsMargins()
        return margins.left() + margins.right()

    def _show_uses(self, row: Row) -> None:
        """Show what draws what, as much as there is room for; under the pointer it is whole."""
        whole = row.uses.accessibleName()
        room = self.width() - self._outside_px() - row.sample.width() - GAP_PX
        row.uses.setText(
            row.uses.fontMetrics().elidedText(whole, Qt.TextElideMode.ElideRight, room)
        )

    def _fold(self, count: int) -> None:
        """Let the columns stand in as many lines as they need, heads and numbers alike."""
        if count == self._in_a_line:
            return
        self._grid.setColumnStretch(self._in_a_line + 2, 0)
        self._grid.setColumnStretch(count + 2, 1)
        self._in_a_line = count
        lines = -(-len(COLUMNS) // count)
        self._grid.addWidget(self._time, 0, 0, 1, 2)
        self._put(self._heads, 0)
        for index, row in enumerate(self._rows):
            line = lines + index * (lines + 1)
            self._grid.addWidget(row.sample, line, 0)
            self._grid.addWidget(row.name, line, 1)
            self._put(row.cells, line)
            self._grid.addWidget(row.uses, line + lines, 1, 1, count + 2)

    def _put(self, labels: list[QLabel], line: int) -> None:
        for column, label in enumerate(labels):
            down, across = divmod(column, self._in_a_line)
            self._grid.addWidget(label, line + down, across + 2)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _new_row(self, index: int) -> Row:
        row = Row(
            Sample(index, self),
            self._label(""),
            [self._label("") for _ in COLUMNS],
            self._label(""),
        )
        row.uses.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        return row

    def _label(self, text: str, tip: str = "") -> QLabel:
        label = QLabel(text, self)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setToolTip(tip)
        return label


def _fill(row: Row, station: str, moment: Moment | None, known: str) -> None:
    # Elided where it is long; read aloud and under the pointer it is whole.
    room = row.name.width()
    elided = row.name.fontMetrics().elidedText(station, Qt.TextElideMode.ElideRight, room)
    row.name.setText(elided)
    row.name.setAccessibleName(station)
    row.name.setToolTip(plain_tip(station))
    texts = ["not run"] + [""] * (len(COLUMNS) - 1) if moment is None else cell_texts(moment)
    for cell, text in zip(row.cells, texts, strict=True):
        cell.setText(text)
    uses = "" if moment is None else f"draws in A: {uses_words(moment)}"
    if known and uses:
        uses = f"charge {known}; {uses}"
    row.uses.setAccessibleName(uses)
    row.uses.setToolTip(plain_tip(uses) if uses else "")


def cell_texts(moment: Moment) -> list[str]:
    """Return the numbers of one station, in the order of the columns."""
    return [
        percent(moment.fraction),
        f"{fixed(moment.usable_ah, 1)} Ah",
        f"{fixed(moment.battery_v, 2)} V",
        f"{fixed(moment.radio_v, 2)} V",
        f"{fixed(moment.load_a, 2)} A",
        f"{fixed(moment.irradiance_w_m2, 0)} W/m²",
        f"{fixed(moment.panel_w, 0)}/{fixed(moment.panel_able_w, 0)} W",
    ]
