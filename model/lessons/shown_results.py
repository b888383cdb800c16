"""What a result may show after a reveal: of a run only the stations and figures asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.engine.comparison import Comparison
from model.engine.outcome import USES
from model.engine.run import StationRun
from model.lessons.parts import Shown
from model.lessons.text import number_words
from model.results.wording import USE_WORDS
from model.verdict.sentences import name_of
from model.verdict.table import verdict

# From the back of a room more rows are not read.
TABLE_ROWS = 7
# Smaller uses are nothing that could be seen.
LEAST_AH = 0.005
_NOTHING = ("–", "0", "0.0")


@dataclass(frozen=True)
class TableRow:
    """A row of the table: the figure, its unit, and a text and value for each station shown."""

    key: str
    name: str
    unit: str
    decimals: int
    texts: tuple[str, ...]
    values: tuple[float | None, ...]

    @property
    def label(self) -> str:
        """What stands before the row: its name and its unit."""
        return f"{self.name}, {self.unit}" if self.unit else self.name


@dataclass(frozen=True)
class ShownTable:
    """A table of the stations and figures asked for, and of no other."""

    names: tuple[str, ...]
    rows: tuple[TableRow, ...]


@dataclass(frozen=True)
class UseBar:
    """One use of one station."""

    use: str
    words: str
    drawn_ah: float

    @property
    def text(self) -> str:
        """What stands at the end of the bar."""
        return number_words(self.drawn_ah, "Ah")


def stations_shown(comparison: Comparison, shown: Shown) -> tuple[int, ...]:
    """Return the places, counted from 0, of the stations that were run and may be shown."""
    wanted = shown.stations or range(1, len(comparison.runs) + 1)
    return tuple(
        index
        for index, run in enumerate(comparison.runs)
        if run is not None and index + 1 in wanted
    )


def runs_shown(comparison: Comparison, shown: Shown) -> tuple[tuple[int, StationRun], ...]:
    """Return the stations that may be shown, each with its place counted from 0."""
    found = []
    for index in stations_shown(comparison, shown):
        run = comparison.runs[index]
        assert run is not None
        found.append((index, run))
    return tuple(found)


def table_shown(comparison: Comparison, shown: Shown) -> ShownTable:
    """Return the table of a result; figures stand in the order they were asked for."""
    stations = stations_shown(comparison, shown)
    rows = {row.key: row for row in verdict(comparison).rows}
    keys = shown.figures or tuple(
        key for key, row in rows.items() if any(row.texts[i] not in _NOTHING for i in stations)
    )
    found = []
    for key in keys:
        if key in rows:
            row = rows[key]
            unit = "" if row.unit == "time" else row.unit
            texts = tuple(row.texts[index] for index in stations)
            values = tuple(row.values[index] for index in stations)
            found.append(TableRow(key, row.label, unit, row.decimals, texts, values))
    names = tuple(name_of(comparison, index) for index in stations)
    return ShownTable(names, tuple(found[:TABLE_ROWS]))


def uses_shown(run: StationRun, shown: Shown) -> tuple[UseBar, ...]:
    """Return the uses of one station that may be shown, the largest first."""
    bars = [
        UseBar(str(use), USE_WORDS[use], run.sums.by_use_ah[use])
        for use in USES
        if (not shown.figures or use in shown.figures) and run.sums.by_use_ah[use] > LEAST_AH
    ]
    return tuple(sorted(bars, key=lambda bar: -bar.drawn_ah))


def faults_of_shown(comparison: Comparison, shown: Shown) -> Iterator[str]:
    """Yield what a result names that is not there."""
    count = len(comparison.runs)
    for station in shown.stations:
        if station > count:
            yield f"there is no station {station}; there are {count}"
    if shown.result in ("charge", "sun"):
        if shown.figures:
            yield f"{shown.result} is a curve: it has no figures"
        return
    known = (
        [str(use) for use in USES]
        if shown.result == "uses"
        else [row.key for row in verdict(comparison).rows]
    )
    for figure in shown.figures:
        if figure not in known:
            yield f'there is no figure "{figure}"; there are {", ".join(known)}'
