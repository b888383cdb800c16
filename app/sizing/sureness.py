"""Odds: how many trial trips each station lasts, which lasts longer, and what drives it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from PySide6.QtWidgets import QLabel, QWidget

from app.sizing.size_words import sentence
from app.widgets.labels import heading, sentence_label
from app.work.worked_part import WorkedPart
from model.engine.comparison import Comparison
from model.odds.odds import Odds, search_odds
from model.odds.sentences import (
    COUNTS_TRIPS,
    basis_words,
    driver_words,
    end_words,
    ends_note,
    outlasts_words,
    receive_words,
    reserve_words,
)
from model.results.wording import called, name_at
from model.scenario.scenario import Scenario
from model.support.progress import Search

# Of each station.
DRIVERS_TOLD = 3


class SurenessView(WorkedPart):
    """Says the odds in sentences alone."""

    LOOKING = "Running trial trips …"

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.basis = sentence_label()
        self.receive, self.reserve = sentence_label(), sentence_label()
        self.ends, self.odds, self.ranking = sentence_label(), sentence_label(), sentence_label()
        self._heads = {
            self.receive: heading("Receives to the end"),
            self.reserve: heading("Keeps its reserve"),
            self.ends: heading("When it ends"),
            self.odds: heading("Which lasts longer"),
            self.ranking: heading("What drives the uncertainty"),
        }
        self.basis.setAccessibleName("What the odds are of")
        self.column.addWidget(self.basis)
        self.column.addWidget(self.bar)
        for label, head in self._heads.items():
            label.setAccessibleName(head.text())
            self.column.addWidget(head)
            self.column.addWidget(label)
        self.column.addStretch(1)
        self._say("", {})

    def show_comparison(self, comparison: Comparison) -> None:
        """Show another comparison; it is worked out when the view is looked at."""
        self.show_scenario(comparison.scenario)

    def work(self, scenario: Scenario) -> Search[Odds]:
        return search_odds(scenario)

    def show_value(self, scenario: Scenario, value: object) -> None:
        found = cast(Odds, value)
        stations = range(len(found.stations))
        said = {
            self.receive: [receive_words(found, index) for index in stations],
            self.reserve: [reserve_words(found, index) for index in stations],
            self.ends: [
                f"{name_at(found.scenario, index)}: {one}."
                for index in stations
                for one in end_words(found, index)
            ]
            + [ends_note(found)],
            self.odds: [
                outlasts_words(found, first, second)
                for first in stations
                for second in stations[first + 1 :]
            ],
            self.ranking: [line for index in stations for line in self._drivers(found, index)],
        }
        self._say(f"{basis_words(found)} {COUNTS_TRIPS}", said)

    def _drivers(self, found: Odds, index: int) -> list[str]:
        station = found.stations[index]
        told = station.drivers[:DRIVERS_TOLD] if station else ()
        who = called(found.scenario, index)
        return [
            sentence(f"{who}, {rank}: {driver_words(found, one)}")
            for rank, one in enumerate(told, start=1)
        ]

    def _say(self, basis: str, said: Mapping[QLabel, list[str]]) -> None:
        self.basis.setText(basis)
        self.basis.setVisible(bool(basis))
        for label, head in self._heads.items():
            lines = [line for line in said.get(label, []) if line]
            label.setText("\n".join(lines))
            label.setVisible(bool(lines))
            head.setVisible(bool(lines))
