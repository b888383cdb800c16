"""How sure: the band of each end, the odds between stations, and what to measure next."""

from __future__ import annotations

from typing import cast

import numpy as np
from PySide6.QtWidgets import QWidget

from app.sizing.size_words import sentence
from app.sizing.sureness_words import effect_words, measure_next, odds_words, station_words
from app.widgets.labels import heading, sentence_label
from app.work.worked_part import WorkedPart
from model.engine.comparison import COARSE_STEP_MIN, Comparison
from model.odds.monte_carlo import USUAL_MEMBERS, Spread, search_spread
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.support.progress import Search

# The same trial trips every time, so that a band moves only when the scenario does.
SEED = 20
RANKED = 4
MEANS = (
    f"{USUAL_MEMBERS} trial trips of each station, its numbers varied within their uncertainty;"
    " plan, place and sky as entered. 8 of 10 trial trips end within the times given."
)


def spread_work(scenario: Scenario, step_min: float = COARSE_STEP_MIN) -> Search[Spread]:
    """Run the trial trips of every station, the same ones each time."""
    return search_spread(scenario, np.random.default_rng(SEED), step_min=step_min)


class SurenessView(WorkedPart):
    """Says how uncertain the ends are, in sentences alone."""

    LOOKING = "Running trial trips …"

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.ends, self.odds, self.ranking = sentence_label(), sentence_label(), sentence_label()
        self._heads = {
            self.ends: heading("When it ends"),
            self.odds: heading("Which lasts longer"),
            self.ranking: heading("Measure next"),
        }
        self.column.addWidget(sentence_label(MEANS))
        self.column.addWidget(self.bar)
        for label, head in self._heads.items():
            label.setAccessibleName(head.text())
            self.column.addWidget(head)
            self.column.addWidget(label)
        self.column.addStretch(1)
        self._say({})

    def show_comparison(self, comparison: Comparison) -> None:
        """Show another comparison; it is worked out when the view is looked at."""
        self.show_scenario(comparison.scenario)

    def work(self, scenario: Scenario) -> Search[Spread]:
        return spread_work(scenario)

    def show_value(self, scenario: Scenario, value: object) -> None:
        found = cast(Spread, value)
        count = len(found.stations)
        ends = [
            f"{name_at(found.scenario, index)}: {one}."
            for index in range(count)
            for one in station_words(found, index)
        ]
        odds = [
            words
            for first in range(count)
            for second in range(first + 1, count)
            if (words := odds_words(found, first, second))
        ]
        ranking = [
            f"{rank}. {sentence(effect_words(found, effect))}"
            for rank, effect in enumerate(measure_next(found, RANKED), start=1)
        ]
        self._say({self.ends: ends, self.odds: odds, self.ranking: ranking})

    def _say(self, said: dict[object, list[str]]) -> None:
        for label, head in self._heads.items():
            lines = said.get(label, [])
            label.setText("\n".join(lines))
            label.setVisible(bool(lines))
            head.setVisible(bool(lines))
