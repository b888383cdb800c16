"""Equal terms: one click makes two stations alike in power, mass or time, and says what changed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.pages.size.export import ExportRow
from app.pages.size.terms_table import Standings, terms_rows, terms_table
from app.state.display import Display
from app.widgets.labels import sentence_label
from app.widgets.plain_table import PlainTable
from app.widgets.work_bar import WorkBar
from app.work.jobs import Jobs
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.equal_terms import Terms, same_mass, same_power, search_same_time, standings
from model.support.progress import Search, at_once, within

Change = Callable[[Scenario, int, int], Search[Terms]]
Found = tuple[Terms, Standings, Standings]
MEANS = (
    "Two stations seldom differ in one thing alone. Each button changes the scenario so that they"
    " are alike in one respect, as one step that can be undone."
)
CHANGES: tuple[tuple[str, str, str, Change], ...] = (
    (
        "Same RF power",
        "same RF power",
        "Both give the RF power that the weaker can give.",
        lambda *given: at_once(same_power, *given),
    ),
    (
        "Same mass",
        "same mass",
        "The lighter carries more battery of its make, until both weigh the same.",
        lambda *given: at_once(same_mass, *given),
    ),
    (
        "Same time",
        "same time",
        "The one that ends first carries as much battery as lets it last as long.",
        search_same_time,
    ),
)


def _search_terms(scenario: Scenario, change: Change, first: int, second: int) -> Search[Found]:
    """Make one change, and find out how every station stands before and after it."""
    before = yield from within(standings(scenario), 0.0, 1 / 3)
    terms = yield from within(change(scenario, first, second), 1 / 3, 2 / 3)
    after = before
    if terms.scenario != scenario:
        after = yield from within(standings(terms.scenario), 2 / 3, 1.0)
    return terms, before, after


class TermsPart(QWidget):
    """Works a change out when its button is pressed; an edit of the scenario meanwhile drops it."""

    edit_requested = Signal(str, object)
    settled = Signal()

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: Found | None = None
        self._scenario: Scenario | None = None
        self._expected: Scenario | None = None
        self._text = ""
        self._jobs = Jobs(self)
        self._jobs.progressed.connect(self._on_progressed)
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)
        self.first, self.second = QComboBox(), QComboBox()
        self.first.setAccessibleName("first station on equal terms")
        self.second.setAccessibleName("second station on equal terms")
        self.buttons = [QPushButton(words) for words, *_ in CHANGES]
        self.says = sentence_label()
        self.table = PlainTable("equal terms in numbers", words=(0, 1, 2, 3), wide=(2, 3))
        self.export = ExportRow("equal terms", None)
        self.export.hide()
        self.bar = WorkBar()
        self.bar.cancel_wanted.connect(self.cancel)
        self._lay_out()
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show_found)
        for box in (self.first, self.second):
            box.currentIndexChanged.connect(self._on_pair_changed)
        for button, slot in zip(
            self.buttons, (self._on_power, self._on_mass, self._on_time), strict=True
        ):
            button.clicked.connect(slot)

    def _lay_out(self) -> None:
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 6, 8, 6)
        whole.addWidget(sentence_label(MEANS))
        pair = QHBoxLayout()
        pair.addWidget(self.first)
        pair.addWidget(QLabel("and"))
        pair.addWidget(self.second)
        pair.addStretch(1)
        whole.addLayout(pair)
        grid = QGridLayout()
        grid.setColumnStretch(1, 1)
        for row, (button, (_, _, tip, _)) in enumerate(zip(self.buttons, CHANGES, strict=True)):
            button.setAccessibleDescription(tip)
            grid.addWidget(button, row, 0)
            grid.addWidget(sentence_label(tip), row, 1)
        whole.addLayout(grid)
        whole.addWidget(self.bar)
        whole.addWidget(self.says)
        whole.addWidget(self.table)
        whole.addWidget(self.export, 0, Qt.AlignmentFlag.AlignRight)
        whole.addStretch(1)

    @property
    def pair(self) -> tuple[int, int]:
        """The two stations."""
        return max(self.first.currentIndex(), 0), max(self.second.currentIndex(), 0)

    @property
    def is_settled(self) -> bool:
        """Whether nobody is at work."""
        return not self._jobs.is_running

    def show_scenario(self, scenario: Scenario) -> None:
        """Take over another scenario; what was said of a change of one's own stays."""
        if scenario == self._scenario:
            return
        if self._jobs.is_running:
            self.cancel()
        if scenario != self._expected:
            self._forget()
        chosen = self.pair if self._scenario is not None else (0, 1)
        self._scenario, self._expected = scenario, None
        names = [name_at(scenario, index) for index in range(len(scenario.stations))]
        for box, at in zip((self.first, self.second), chosen, strict=True):
            box.blockSignals(True)
            box.clear()
            box.addItems(names)
            box.setCurrentIndex(min(at, len(names) - 1))
            box.blockSignals(False)
        self._on_pair_changed()

    def cancel(self) -> None:
        """Stop the work."""
        self._jobs.cancel()
        self.bar.show_idle("Stopped; nothing was changed.")

    def stop(self) -> None:
        """End the work and wait for the worker: nothing is changed unseen."""
        if self._jobs.is_running:
            self.cancel()
        self._jobs.close()

    def _on_pair_changed(self) -> None:
        first, second = self.pair
        for button in self.buttons:
            button.setEnabled(first != second)

    def _on_power(self) -> None:
        self._start(0)

    def _on_mass(self) -> None:
        self._start(1)

    def _on_time(self) -> None:
        self._start(2)

    def _start(self, which: int) -> None:
        if self._scenario is None:
            return
        words, self._text, _, change = CHANGES[which]
        self._forget()
        self.bar.show_working(f"{words} …")
        self._jobs.start(_search_terms(self._scenario, change, *self.pair))

    def _on_finished(self, _number: int, value: object) -> None:
        self._found = cast(Found, value)
        terms = self._found[0]
        self.bar.show_idle()
        self.says.setText(terms.words)
        self._show_found()
        if terms.scenario != self._scenario:
            self._expected = terms.scenario
            self.edit_requested.emit(self._text, terms.scenario)
        self.settled.emit()

    def _forget(self) -> None:
        """Take away what was said of an earlier change."""
        self._found = None
        self.says.setText("")
        self.table.hide()
        self.export.hide()

    def _show_found(self) -> None:
        if self._found is not None:
            terms, before, after = self._found
            us = self._display.is_us
            self.table.show_rows(*terms_rows(terms.scenario, before, after, us=us))
            self.export.show()
            self.export.set_ready(True)

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            terms, before, after = self._found
            self.export.write_table(path, terms_table(terms.scenario, before, after))

    def _on_progressed(self, _number: int, share: float) -> None:
        self.bar.advance(share)

    def _on_failed(self, _number: int, fault: str) -> None:
        self.bar.show_idle(f"It could not be worked out: {fault}")
        self.settled.emit()
