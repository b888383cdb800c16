"""Heard, and keep clear: what each station puts on the air, its price, and its distances."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from app.pages.signal.assumed import AssumedAntennas
from app.pages.signal.figure_table import FigureTable
from app.pages.signal.rows import CLEAR_HEADS, HEARD_HEADS, clear_rows, farthest_lines, heard_rows
from app.pages.signal.words import CLEAR_MEANS, HEARD_MEANS, price_words, titled
from app.state.display import Display
from app.widgets.caution_label import CautionLabel
from app.widgets.labels import sentence_label
from app.widgets.sections import Section, SideBySide
from app.widgets.tokens import GRID_PX
from model.engine.comparison import Comparison
from model.results.signal_levels import SAME_DB, heard, prices
from model.results.wording import letter
from model.scenario.cautions import PLAN, Caution
from model.scenario.part_cautions import part_cautions
from model.scenario.scenario import Scenario
from model.station.rf_exposure import exposures

# Both tables are whole only where there is room for their sentences.
EACH_PX = 800
NOTHING_SENT = (
    "No transmission is planned: give a block an activity that transmits, power and a share."
)


class SignalsView(QWidget):
    """Two tables with their words; a station without an antenna asks for one by an edit.

    What else belongs here stands below them.
    """

    edit_requested = Signal(str, object)

    def __init__(self, display: Display, *more: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._more = more
        self._comparison: Comparison | None = None
        self.silent = sentence_label(NOTHING_SENT)
        self.stations, self.prices = sentence_label(), sentence_label()
        self.heard = FigureTable("signal: block by block", HEARD_HEADS)
        self.heard_detail = sentence_label()
        self.assumed = AssumedAntennas()
        self.cautions = CautionLabel()
        self.farthest = sentence_label()
        self.clear = FigureTable("RF exposure: block by block", CLEAR_HEADS)
        self.clear_detail = sentence_label()
        self._lay_out()
        for label, name in (
            (self.stations, "stations"), (self.prices, "what the stronger signal costs"),
            (self.heard_detail, "the signal that is read"),
            (self.farthest, "distances over all blocks"),
            (self.clear_detail, "the distances that are read"),
        ):  # fmt: skip
            label.setAccessibleName(name)
        self.heard.detail_changed.connect(self.heard_detail.setText)
        self.clear.detail_changed.connect(self.clear_detail.setText)
        self.assumed.edit_requested.connect(self.edit_requested)
        display.units_changed.connect(self._on_units_changed)

    def _lay_out(self) -> None:
        signal = Section(
            "Signal", self.stations, self.prices, self.heard, self.heard_detail, self.assumed,
            sentence_label(HEARD_MEANS),
        )  # fmt: skip
        exposure = Section(
            "RF exposure", self.farthest, self.clear, self.clear_detail, sentence_label(CLEAR_MEANS)
        )
        self.figures = SideBySide(signal, exposure, each_px=EACH_PX)
        inside = QWidget()
        line = _stack(inside, self.cautions, self.silent, self.figures, *self._more)
        line.setContentsMargins(GRID_PX, GRID_PX, GRID_PX, GRID_PX)
        line.addStretch(1)
        self.area = QScrollArea()
        self.area.setWidget(inside)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.area.setAccessibleName("signal and RF exposure")
        # It takes what height there is, and asks for none.
        self.area.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.area)

    def show_comparison(self, comparison: Comparison) -> None:
        """Show the signals and distances of a comparison."""
        self._comparison = comparison
        scenario = comparison.scenario
        blocks = heard(comparison)
        exposed = tuple(exposures(station, scenario.plan) for station in scenario.stations)
        rows = heard_rows(scenario, blocks)
        self.silent.setVisible(not rows)
        self.figures.setVisible(bool(rows))
        self.cautions.show_cautions(_cautions(scenario))
        self.assumed.show_scenario(scenario)
        names = [titled(scenario, index) for index in range(len(scenario.stations))]
        self.stations.setText("; ".join(names))
        self.prices.setText("\n".join(_price_lines(comparison, self._display)))
        self.prices.setVisible(bool(self.prices.text()))
        self.heard.show_rows(rows)
        self.clear.show_rows(clear_rows(scenario, blocks, exposed, self._display))
        farthest = farthest_lines(scenario, blocks, exposed, self._display)
        self.farthest.setText("\n".join(farthest))
        self.farthest.setVisible(bool(self.farthest.text()))
        # Read out with the window, for those who do not go through the tables.
        self.area.setAccessibleDescription(self.in_words())

    def in_words(self) -> str:
        """Return what the view says of this comparison, without the single blocks."""
        if self.silent.isVisibleTo(self):
            return self.silent.text()
        texts = (label.text() for label in (self.prices, self.farthest, self.cautions))
        return "\n".join(text for text in texts if text)

    def _on_units_changed(self) -> None:
        # Whoever comes back to it is shown the comparison anew.
        if self._comparison is not None and self.isVisible():
            self.show_comparison(self._comparison)


def _stack(holder: QWidget, *widgets: QWidget) -> QVBoxLayout:
    line = QVBoxLayout(holder)
    for widget in widgets:
        line.addWidget(widget)
    return line


def _price_lines(comparison: Comparison, display: Display) -> list[str]:
    found = prices(comparison)
    lines = [price_words(price, display) for price in found]
    if any(price.louder_db >= SAME_DB for price in found):
        lines.insert(0, "In the block where they differ most:")
    for index, run in enumerate(comparison.runs):
        if run is None:
            lines.append(
                f"{letter(index)} is not run, so what its signal costs is not known: see"
                " its findings."
            )
    return lines


def _cautions(scenario: Scenario) -> tuple[Caution, ...]:
    """Return those of sending, once each; that of the low-pass filter where it concerns."""
    amplified = any(station.amplifier is not None for station in scenario.stations)
    more = part_cautions("amplifier") if amplified else ()
    return tuple(dict.fromkeys((*more, *PLAN)))
