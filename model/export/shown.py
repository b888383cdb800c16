"""A comparison as a notebook shows it: a few lines, a table, frames."""

from __future__ import annotations

import pandas as pd

from model.advice.advice import counsel as advise
from model.engine import comparison as engine
from model.engine.comparison import Comparison
from model.export.outcome_data import minutes_table
from model.files.scenario_file import read_scenario as read
from model.scenario.scenario import Scenario
from model.verdict.headline import headline
from model.verdict.sentences import name_of
from model.verdict.table import verdict

__all__ = ["Shown", "advise", "read", "simulate"]


class Shown(Comparison):
    """A comparison that prints itself; everything else is as of ``Comparison``."""

    def table(self) -> pd.DataFrame:
        """Return the comparison table in words: a row for each figure, a column for each station.

        The index holds the rows' labels with their units.
        """
        rows = verdict(self).rows
        labels = [f"{row.label} [{row.unit}]" if row.unit else row.label for row in rows]
        return pd.DataFrame([row.texts for row in rows], index=labels, columns=self.names())

    def minutes(self) -> pd.DataFrame:
        """Return every minute of every station; the columns are those of the CSV file."""
        return minutes_table(self)

    def names(self) -> list[str]:
        """Return the stations' names."""
        return [name_of(self, index) for index in range(len(self.runs))]

    def __repr__(self) -> str:
        names, begin = ", ".join(self.names()), f"{self.clock.start:%Y-%m-%d %H:%M}"
        head = f"{names}: {self.clock.days} d from {begin}"
        lead = headline(self)
        return "\n".join([lead.text, lead.cause, head, *verdict(self).sentences])

    def _repr_html_(self) -> str:
        return self.table().to_html(border=0)


def simulate(scenario: Scenario, *, step_min: float = 1.0) -> Shown:
    """Run every station through the plan and the sky.

    Parameters
    ----------
    step_min : length of a step [min].
    """
    found = engine.simulate(scenario, step_min=step_min)
    return Shown(found.scenario, found.runs)
