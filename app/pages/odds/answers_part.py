"""What follows from one station's odds: what raises, drives and narrows them, and sizes."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.pages.odds.frontier_chart import FrontierChart
from app.pages.odds.rank_bars import RankBars, Ranked
from app.state.display import Display
from app.widgets.labels import sentence_label
from app.widgets.plain_table import PlainTable
from app.widgets.sections import Section, SideBySide
from app.widgets.tokens import GRID_PX
from app.widgets.whole_box import WholeBox
from model.odds.answer_sentences import (
    GOAL_WORDS,
    MEETS_MEANS,
    frontier_rows,
    narrowing_words,
    no_raise_words,
    raise_words,
    size_words,
    telling_raises,
    trips_words,
    years_words,
)
from model.odds.answers import Answers
from model.odds.odds import Odds
from model.odds.raised_odds import Raise
from model.odds.sentences import driver_words
from model.results.wording import called
from model.scenario.scenario import Scenario
from model.support.figures import in_10

ROWS_TOLD = 5
FRONTIER_HEADS = ("Battery", "Smallest panel", "Station", "Odds")
EACH_PX = 450


class AnswersPart(QWidget):
    """Shows the answers about one station; a chosen change can be applied."""

    of_ten_changed = Signal(int)
    applied = Signal(str, object, object)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: Answers | None = None
        self._raises: tuple[Raise, ...] = ()
        self.raises = RankBars("what would raise the odds", chooses=True)
        self.price = sentence_label()
        self.price.setAccessibleName("what the change does and costs")
        self.apply = QPushButton("Apply")
        self.apply.setToolTip("Puts this change into the scenario, as one step that can be undone")
        self.drives = RankBars("what drives the uncertainty", chooses=False)
        self.no_drivers = sentence_label("Nothing stands out from chance.")
        self.narrows = sentence_label()
        self.narrows.setAccessibleName("what would narrow the odds")
        self.of_ten = WholeBox()
        self.of_ten.setRange(1, 9)
        self.of_ten.setValue(9)
        self.of_ten.setSuffix(" of 10 trial trips")
        self.of_ten.setAccessibleName("sizes for so many of 10 trial trips")
        self.sizes = sentence_label()
        self.sizes.setAccessibleName("smallest sizes")
        self.frontier = PlainTable("battery against panel", words=(1, 3), wide=(1, 3))
        self.line = FrontierChart()
        self.counted = sentence_label()
        self._lay_out()
        self.raises.chosen.connect(self._on_chosen)
        self.apply.clicked.connect(self._on_apply)
        self.of_ten.valueChanged.connect(self.of_ten_changed)
        display.units_changed.connect(self._on_units_changed)
        self.clear()

    def _lay_out(self) -> None:
        line = QHBoxLayout()
        line.addWidget(self.price, 1)
        line.addWidget(self.apply)
        self.raise_section = Section("What would raise the odds", self.raises)
        self.raise_section.column.insertLayout(2, line)
        self.drive_section = Section("What drives the uncertainty", self.drives, self.no_drivers)
        self.narrow_section = Section("What would narrow them", self.narrows)
        self.size_section = Section(
            "Smallest sizes that meet the plan",
            self.sizes,
            SideBySide(self.line, self.frontier, each_px=EACH_PX),
        )
        asked = QHBoxLayout()
        asked.addWidget(QLabel("In"))
        asked.addWidget(self.of_ten)
        asked.addStretch(1)
        self.size_section.column.insertLayout(1, asked)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * GRID_PX)
        changes = QWidget()
        stack = QVBoxLayout(changes)
        stack.setContentsMargins(0, 0, 0, 0)
        stack.setSpacing(2 * GRID_PX)
        stack.addWidget(self.raise_section)
        stack.addWidget(self.narrow_section)
        stack.addStretch(1)
        column.addWidget(SideBySide(changes, self.drive_section, each_px=EACH_PX))
        column.addWidget(self.size_section)
        column.addWidget(self.counted)

    def clear(self) -> None:
        """Show nothing."""
        self._found = None
        for section in (self.raise_section, self.drive_section, self.narrow_section,
                        self.size_section):  # fmt: skip
            section.hide()
        self.counted.clear()

    def _on_units_changed(self) -> None:
        if self._found is not None:
            self.show_answers(self._found)

    def show_outdated(self, *, drivers: bool) -> None:
        """Fade what is of an earlier scenario or question; it cannot be applied any more."""
        self._found = None
        self.raises.show_outdated(True)
        self.drives.show_outdated(drivers)
        self.apply.setEnabled(False)
        for label in (self.narrows, self.sizes, self.price, self.counted):
            label.setEnabled(False)
        self.frontier.setEnabled(False)
        self.line.show_outdated(True)

    def show_drivers(self, found: Odds, index: int) -> None:
        """Show what drives the uncertainty of a station."""
        station = found.stations[index]
        moving = station.drivers[:ROWS_TOLD] if station is not None else ()
        rows = tuple(
            Ranked(_capital(driver_words(found, one)), abs(one.rank_share), 0.0, "")
            for one in moving
        )
        self.drives.show_outdated(False)
        self.drives.show_rows(rows, index)
        self.no_drivers.setVisible(not rows)
        self.drive_section.head.setText(
            f"What drives the uncertainty, {called(found.scenario, index)}"
        )
        self.drive_section.setVisible(station is not None)

    def show_answers(self, found: Answers | None) -> None:
        """Show the answers about a station, with sizes where they are there by now."""
        if found is None:
            self.clear()
            return
        self._found = found
        who = called(found.scenario, found.index)
        self.raise_section.head.setText(
            f"What would raise the odds that {who} {GOAL_WORDS[found.goal]}"
        )
        now = found.now.value
        # One that leaves the odds at the same number raises nothing.
        self._raises = telling_raises(found)[:ROWS_TOLD]
        rows = tuple(
            Ranked(self._display.sentence(one.words), one.odds.value, now, in_10(one.odds.value))
            for one in self._raises
        )
        at = self.raises.at
        self.raises.show_outdated(False)
        self.raises.show_rows(rows, found.index)
        self.narrow_section.head.setText(f"What would narrow the odds of {who}")
        said = [f"{_capital(narrowing_words(one))}" for one in found.narrowings]
        self.narrows.setText("\n".join([*said, years_words(found)]))
        self.counted.setText(trips_words(found))
        for widget in (self.narrows, self.price, self.counted):
            widget.setEnabled(True)
        for section in (self.raise_section, self.narrow_section):
            section.show()
        self.raises.choose(at)
        self._on_chosen(self.raises.at)
        if found.sizes is not None:
            self._show_sizes(found)

    def _show_sizes(self, found: Answers) -> None:
        sizes = found.sizes
        assert sizes is not None
        told = [size_words(sizes, one) for one in (sizes.battery, sizes.panel) if one is not None]
        self.sizes.setText("\n".join([*told, MEETS_MEANS]))
        said = self._display.sentence
        rows = [tuple(said(cell) for cell in row) for row in frontier_rows(sizes)]
        self.frontier.show_rows(FRONTIER_HEADS, rows)
        self.frontier.setVisible(bool(rows))
        self.line.show_outdated(False)
        self.line.show_answers(found)
        who = called(found.scenario, found.index)
        self.size_section.head.setText(f"Smallest sizes with which {who} meets the plan")
        self.sizes.setEnabled(True)
        self.frontier.setEnabled(True)
        self.size_section.show()

    def _on_chosen(self, at: int) -> None:
        found = self._found
        if found is None:
            return
        chosen = self._raises[at] if at < len(self._raises) else None
        words = raise_words(found, chosen) if chosen else no_raise_words(found)
        self.price.setText(self._display.sentence(words))
        self.apply.setVisible(chosen is not None)
        self.apply.setEnabled(chosen is not None)

    def _on_apply(self) -> None:
        found = self._found
        if found is not None and self.raises.at < len(self._raises):
            chosen = self._raises[self.raises.at]
            seen: Scenario = found.scenario
            self.applied.emit(self._display.sentence(chosen.words), seen, chosen.changed)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
