"""Equal terms: what two stations come to, alike in power, mass or time; one click makes them so."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QLabel, QPushButton

from app.pages.size.export import ExportRow
from app.pages.size.terms_table import Found, Outcome, terms_rows, terms_table
from app.state.display import Display
from app.widgets.labels import sentence_label
from app.widgets.plain_table import PlainTable
from app.widgets.worked_part import WorkedPart
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.equal_terms import Terms, same_mass, same_power, search_same_time, standings
from model.support.progress import Search, at_once, within

Change = Callable[[Scenario, int, int], Search[Terms]]
MEANS = (
    "Two stations seldom differ in one thing alone. Here is what each comes to when they are alike"
    " in one respect; a button makes it so, as one step that can be undone."
)
UNCHANGED = "Nothing was changed: "
CHANGES: tuple[tuple[str, str, Change], ...] = (
    (
        "Same RF power",
        "Both give the RF power that the weaker can give.",
        lambda *given: at_once(same_power, *given),
    ),
    (
        "Same mass",
        "The lighter carries more battery of its make, until both weigh the same.",
        lambda *given: at_once(same_mass, *given),
    ),
    (
        "Same time",
        "The one that ends first carries as much battery as lets it last as long.",
        search_same_time,
    ),
)


def _search_terms(scenario: Scenario, first: int, second: int) -> Search[Found]:
    """Try each change, and find out how every station stands now and with it."""
    parts = 1 + 2 * len(CHANGES)
    now = yield from within(standings(scenario), 0.0, 1 / parts)
    outcomes = []
    for at, (title, _, change) in enumerate(CHANGES):
        begin, middle, end = ((1 + 2 * at + step) / parts for step in range(3))
        terms = yield from within(change(scenario, first, second), begin, middle)
        then = now
        if terms.scenario != scenario:
            then = yield from within(standings(terms.scenario), middle, end)
        outcomes.append(Outcome(title, terms, then))
    return Found(scenario, now, tuple(outcomes))


class TermsPart(WorkedPart):
    """Shows every outcome beforehand; a button takes it over as it is shown."""

    LOOKING = "Putting the stations on equal terms …"

    def __init__(self, display: Display) -> None:
        super().__init__()
        self._display = display
        self._found: Found | None = None
        self._expected: Scenario | None = None
        self._did = ""
        self.first, self.second = QComboBox(), QComboBox()
        self.first.setAccessibleName("first station on equal terms")
        self.second.setAccessibleName("second station on equal terms")
        self.buttons = [QPushButton(title) for title, *_ in CHANGES]
        self.tips = [sentence_label(tip) for _, tip, _ in CHANGES]
        self.says = sentence_label()
        words = tuple(range(3 + len(CHANGES)))
        self.table = PlainTable("equal terms in numbers", words=words, wide=words[2:])
        self.export = ExportRow("equal terms", None)
        self._lay_out()
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show_found)
        for box in (self.first, self.second):
            box.currentIndexChanged.connect(self._on_pair_changed)
        slots = (self._on_power, self._on_mass, self._on_time)
        for button, slot in zip(self.buttons, slots, strict=True):
            button.clicked.connect(slot)
        self._show_found()

    def _lay_out(self) -> None:
        self.column.addWidget(sentence_label(MEANS))
        pair = QHBoxLayout()
        pair.addWidget(self.first)
        pair.addWidget(QLabel("and"))
        pair.addWidget(self.second)
        pair.addStretch(1)
        self.column.addLayout(pair)
        self.column.addWidget(self.bar)
        self.column.addWidget(self.table)
        grid = QGridLayout()
        grid.setColumnStretch(1, 1)
        for row, (button, tip) in enumerate(zip(self.buttons, self.tips, strict=True)):
            button.setAccessibleDescription(CHANGES[row][1])
            grid.addWidget(button, row, 0)
            grid.addWidget(tip, row, 1)
        self.column.addLayout(grid)
        self.column.addWidget(self.says)
        self.column.addWidget(self.export, 0, Qt.AlignmentFlag.AlignRight)
        self.column.addStretch(1)

    @property
    def pair(self) -> tuple[int, int]:
        """The two stations."""
        return max(self.first.currentIndex(), 0), max(self.second.currentIndex(), 0)

    def show_changed(self, scenario: Scenario) -> None:
        """Name the stations; what was said of a change of one's own stays."""
        if scenario != self._expected:
            self._say_done("")
        self._expected = None
        chosen = self.pair if self.first.count() else (0, 1)
        names = [name_at(scenario, index) for index in range(len(scenario.stations))]
        for box, at in zip((self.first, self.second), chosen, strict=True):
            box.blockSignals(True)
            box.clear()
            box.addItems(names)
            box.setCurrentIndex(min(at, len(names) - 1))
            box.blockSignals(False)
        self._forget()

    def work(self, scenario: Scenario) -> Search[Any] | None:
        first, second = self.pair
        return None if first == second else _search_terms(scenario, first, second)

    def show_value(self, scenario: Scenario, value: object) -> None:
        self._found = cast(Found, value)
        self._show_found()

    def _forget(self) -> None:
        """Let nothing be taken over that is of another scenario or pair; its table fades."""
        self._found = None
        self.table.setEnabled(False)
        for button in self.buttons:
            button.setEnabled(False)

    def _on_pair_changed(self) -> None:
        self._forget()
        self.work_again()

    def _show_found(self) -> None:
        found = self._found
        self.table.setVisible(found is not None)
        self.table.setEnabled(found is not None)
        self.export.setVisible(found is not None)
        for at, (button, tip) in enumerate(zip(self.buttons, self.tips, strict=True)):
            outcome = found.outcomes[at] if found is not None else None
            does = found is not None and outcome is not None and found.changes(outcome)
            button.setEnabled(does)
            words = CHANGES[at][1]
            if outcome is not None and not does:
                words = outcome.terms.words.removeprefix(UNCHANGED)
            tip.setText(self._display.sentence(f"{words[:1].upper()}{words[1:]}"))
        self._say_done(self._did)
        if found is not None:
            self.table.show_rows(*terms_rows(found, us=self._display.is_us))
            self.export.set_ready(True)

    def _say_done(self, words: str) -> None:
        self._did = words
        self.says.setText(self._display.sentence(words))

    def _on_power(self) -> None:
        self._take(0)

    def _on_mass(self) -> None:
        self._take(1)

    def _on_time(self) -> None:
        self._take(2)

    def _take(self, at: int) -> None:
        found = self._found
        if found is None or found.scenario != self.scenario:
            return
        outcome = found.outcomes[at]
        self._say_done(outcome.terms.words)
        self._expected = outcome.terms.scenario
        self.edit_requested.emit(outcome.title.replace("Same", "same"), outcome.terms.scenario)

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            self.export.write_table(path, terms_table(self._found))
