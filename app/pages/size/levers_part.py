"""What moves it most: inputs by their effect, and one of them moved by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QLabel, QWidget

from app.charts.bars import Bars
from app.pages.size.export import ExportRow
from app.pages.size.hand import Hand
from app.pages.size.lever_words import MEASURES, bars_of, levers_table
from app.pages.size.size_words import sentence
from app.state.display import Display
from app.widgets.flow import FlowLayout
from app.widgets.labels import sentence_label
from app.widgets.worked_part import WorkedPart
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.sensitivity import Sensitivity, search_sensitivity
from model.support.progress import Search

MEANS = (
    "Each input varied alone across its uncertainty, tried in steps of ten minutes; the eight with"
    " the largest effect."
)


def _levers(scenario: Scenario, index: int) -> Search[tuple[Scenario, int, Sensitivity | str]]:
    try:
        found: Sensitivity | str = yield from search_sensitivity(scenario, index)
    except ValueError as error:
        found = str(error)
    return scenario, index, found


class LeversPart(WorkedPart):
    """Bars of one station; the input chosen has a slider that reruns the station at once."""

    variant_wanted = Signal(str, object)
    LOOKING = "Varying every input …"

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: tuple[Scenario, int, Sensitivity] | None = None
        self.station = QComboBox()
        self.station.setAccessibleName("station of the bars")
        self.measure = QComboBox()
        self.measure.setAccessibleName("result")
        for words in MEASURES.values():
            self.measure.addItem(words)
        self.bars = Bars("inputs by their effect")
        self.export = ExportRow("sensitivity", self.bars)
        self.hand = Hand(display)
        self._lay_out()
        self.station.currentIndexChanged.connect(self.work_again)
        self.measure.currentIndexChanged.connect(self._show)
        self.bars.chosen.connect(self._on_chosen)
        self.hand.edit_requested.connect(self.edit_requested)
        self.hand.variant_wanted.connect(self.variant_wanted)
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show)

    def _lay_out(self) -> None:
        top = FlowLayout()
        for widget in (
            QLabel("Station"), self.station, QLabel("Result"), self.measure, self.export,
        ):  # fmt: skip
            top.addWidget(widget)
        self.column.addWidget(sentence_label(MEANS))
        self.column.addLayout(top)
        self.column.addWidget(self.bar)
        self.column.addWidget(self.bars)
        self.column.addWidget(self.hand)
        self.column.addStretch(1)

    @property
    def is_settled(self) -> bool:
        """Whether bars and hand are of the scenario as it is."""
        return super().is_settled and self.hand.is_settled

    def stop(self) -> None:
        super().stop()
        self.hand.stop()

    @property
    def index(self) -> int:
        """The station whose inputs are moved."""
        return max(self.station.currentIndex(), 0)

    def show_changed(self, scenario: Scenario) -> None:
        chosen = self.index
        self.station.blockSignals(True)
        self.station.clear()
        self.station.addItems([name_at(scenario, i) for i in range(len(scenario.stations))])
        self.station.setCurrentIndex(min(chosen, len(scenario.stations) - 1))
        self.station.blockSignals(False)
        self._show_hand()

    def work(self, scenario: Scenario) -> Search[Any]:
        return _levers(scenario, self.index)

    def show_value(self, scenario: Scenario, value: object) -> None:
        of, index, found = cast("tuple[Scenario, int, Sensitivity | str]", value)
        if isinstance(found, str):
            self._found = None
            self.bars.show_bars((), "")
            self.bar.show_idle(sentence(f"{name_at(of, index)}: {found}"))
            self.export.set_ready(False)
            self._show_hand()
            return
        self._found = of, index, found
        measures = list(MEASURES)
        if not found.strongest(measures[self.measure.currentIndex()]):
            # A kit that lasts whatever is moved has more to say of its charge.
            telling = [at for at, one in enumerate(measures) if found.strongest(one)]
            self.measure.setCurrentIndex(telling[0] if telling else 0)
        self._show()

    def _show(self) -> None:
        if self._found is None:
            return
        found = self._found[2]
        measure = list(MEASURES)[self.measure.currentIndex()]
        bars, middle = bars_of(found, measure, us=self._display.is_us)
        self.bars.show_bars(bars, middle)
        self.bar.show_idle(
            "" if bars else "None of the inputs changes this within its uncertainty."
        )
        self.export.set_ready(bool(bars))
        self._show_hand()

    def _on_chosen(self, _path: str) -> None:
        self._show_hand()

    def _show_hand(self) -> None:
        bar = self.bars.chosen_bar
        self.hand.show_input(self.scenario, self.index, bar.path if bar is not None else "")

    def say_kept(self, name: str) -> None:
        """Say that the moved value is kept as a variant."""
        self.bar.show_idle(f"Kept as the variant {name}; see Variants.")

    def say_refused(self, words: str) -> None:
        """Say why the moved value cannot be kept as a variant."""
        self.bar.show_idle(sentence(words))

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            self.export.write_table(path, levers_table(self._found[2]))
