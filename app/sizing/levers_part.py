"""What moves it most: inputs by their effect, and one of them moved by hand."""

from __future__ import annotations

from pathlib import Path
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from app.display import Display
from app.flow import FlowLayout
from app.jobs import Progress
from app.sizing.bars import Bars
from app.sizing.export import ExportRow
from app.sizing.labels import heading, sentence_label
from app.sizing.lever_words import MEASURES, bars_of, levers_table
from app.sizing.moved import can_move, label_of, moved, value_words
from app.sizing.size_words import name_at, sentence
from app.sizing.work import driven
from app.sizing.worked_part import WorkedPart
from app.theme import station_style
from model.counsel import rerun
from model.faults import ScenarioError
from model.holding import why_withheld
from model.scenario import Scenario
from model.sensitivity import Sensitivity, search_sensitivity
from model.verdict import end_words

MEANS = "Each input alone moved to both ends of its spread; the eight that move it most."
TICKS = 50
# A variant's name may be longer by the number that tells it from another of its name.
NAME_LIMIT = 70


class _LeversWork:
    """The work for the worker: every input of one station moved."""

    def __init__(self, scenario: Scenario, index: int) -> None:
        self._scenario, self._index = scenario, index

    def __call__(self, progress: Progress) -> tuple[Scenario, int, Sensitivity | str]:
        try:
            found: Sensitivity | str = driven(
                search_sensitivity(self._scenario, self._index), progress
            )
        except ValueError as error:
            found = str(error)
        return self._scenario, self._index, found


class LeversPart(WorkedPart):
    """Bars of one station; the input chosen has a slider that reruns the station at once."""

    variant_wanted = Signal(str, object)
    LOOKING = "Moving every input …"

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: tuple[Scenario, int, Sensitivity] | None = None
        self.station = QComboBox()
        self.station.setAccessibleName("station of the bars")
        self.measure = QComboBox()
        self.measure.setAccessibleName("what is moved")
        for words in MEASURES.values():
            self.measure.addItem(words)
        self.bars = Bars("inputs by their effect")
        self.export = ExportRow("what moves it most", self.bars)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(-TICKS, TICKS)
        self.slider.setPageStep(5)
        self.title, self.before, self.after = heading(""), sentence_label(), sentence_label()
        self.keep = QPushButton("Keep this value")
        self.keep_variant = QPushButton("Keep as a variant")
        self.keep_variant.setToolTip("The scenario stays as it is; see Variants")
        self._hand = QWidget()
        self._lay_out()
        self.station.currentIndexChanged.connect(self.work_again)
        self.measure.currentIndexChanged.connect(self._show)
        self.bars.chosen.connect(self._on_chosen)
        self.slider.valueChanged.connect(self._on_moved)
        self.keep.clicked.connect(self._on_keep)
        self.keep_variant.clicked.connect(self._on_keep_variant)
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show)

    def _lay_out(self) -> None:
        top = FlowLayout()
        for widget in (
            QLabel("Station"), self.station, QLabel("Moves"), self.measure, self.export,
        ):  # fmt: skip
            top.addWidget(widget)
        hand = QVBoxLayout(self._hand)
        hand.setContentsMargins(0, 0, 0, 0)
        line = QHBoxLayout()
        line.addWidget(self.slider, 1)
        line.addWidget(self.keep)
        line.addWidget(self.keep_variant)
        hand.addWidget(self.title)
        hand.addLayout(line)
        hand.addWidget(self.before)
        hand.addWidget(self.after)
        self.column.addWidget(sentence_label(MEANS))
        self.column.addLayout(top)
        self.column.addWidget(self.bar)
        self.column.addWidget(self.bars)
        self.column.addWidget(self._hand)
        self.column.addStretch(1)
        self._hand.hide()

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

    def work(self, scenario: Scenario) -> _LeversWork:
        return _LeversWork(scenario, self.index)

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
        scenario, _, found = self._found
        measure = list(MEASURES)[self.measure.currentIndex()]
        bars, middle = bars_of(scenario, found, measure, us=self._display.is_us)
        self.bars.show_bars(bars, middle)
        self.bar.show_idle("" if bars else "None of the inputs moves this within its spread.")
        self.export.set_ready(bool(bars))
        self._show_hand()

    def _on_chosen(self, _path: str) -> None:
        self._show_hand()

    def _show_hand(self) -> None:
        """Show the input chosen as it is, with the slider in its middle."""
        bar, scenario = self.bars.chosen_bar, self.scenario
        is_possible = bar is not None and scenario is not None and self._movable(bar.path)
        self._hand.setVisible(is_possible)
        self.slider.blockSignals(True)
        self.slider.setValue(0)
        self.slider.blockSignals(False)
        if is_possible and bar is not None and scenario is not None:
            self.title.setText(f"Move by hand: {label_of(scenario, bar.path)}")
            self.slider.setAccessibleName(self.title.text())
            now = value_words(scenario, bar.path, self._display)
            self.before.setText(f"Now {now}: {self._fate(scenario)}")
            self._on_moved(0)

    def _movable(self, path: str) -> bool:
        assert self.scenario is not None
        try:
            return can_move(self.scenario, path)
        except KeyError:
            return False

    def _on_moved(self, ticks: int) -> None:
        bar, scenario = self.bars.chosen_bar, self.scenario
        if bar is None or scenario is None:
            return
        for button in (self.keep, self.keep_variant):
            button.setEnabled(ticks != 0)
        self.after.setVisible(ticks != 0)
        if ticks == 0:
            return
        try:
            changed = moved(scenario, bar.path, ticks / TICKS)
        except ScenarioError as error:
            self.after.setText(sentence(str(error.faults[0])))
            for button in (self.keep, self.keep_variant):
                button.setEnabled(False)
            return
        then = self._fate(changed)
        self.after.setText(f"Then {value_words(changed, bar.path, self._display)}: {then}")

    def _fate(self, scenario: Scenario) -> str:
        withheld = why_withheld(scenario, self.index)
        if withheld is not None:
            return sentence(withheld)
        return f"{end_words(rerun(scenario, self.index))}."

    def _on_keep(self) -> None:
        bar, scenario = self.bars.chosen_bar, self.scenario
        if bar is None or scenario is None or self.slider.value() == 0:
            return
        changed = moved(scenario, bar.path, self.slider.value() / TICKS)
        self.edit_requested.emit(f"change of {label_of(scenario, bar.path)}", changed)

    def _on_keep_variant(self) -> None:
        bar, scenario = self.bars.chosen_bar, self.scenario
        if bar is None or scenario is None or self.slider.value() == 0:
            return
        changed = moved(scenario, bar.path, self.slider.value() / TICKS)
        words = f"{label_of(scenario, bar.path)} {value_words(changed, bar.path, self._display)}"
        several = len(scenario.stations) > 1 and bar.path.startswith("stations.")
        owner = f"{station_style(self.index).letter}: " if several else ""
        self.variant_wanted.emit(f"{owner}{words}"[:NAME_LIMIT], changed)

    def say_kept(self, name: str) -> None:
        """Say that the moved value is kept as a variant."""
        self.bar.show_idle(f"Kept as the variant {name}; see Variants.")

    def say_refused(self, words: str) -> None:
        """Say why the moved value cannot be kept as a variant."""
        self.bar.show_idle(sentence(words))

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            self.export.write_table(path, levers_table(self._found[0], self._found[2]))
