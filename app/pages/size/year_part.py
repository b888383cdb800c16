"""The year: from which date to which date each kit works, and what it holds on every date."""

from __future__ import annotations

from datetime import date as Date
from pathlib import Path
from typing import Any, cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.charts.year_strip import YearStrip
from app.pages.size.export import ExportRow, Table
from app.widgets.labels import sentence_label
from app.widgets.worked_part import WorkedPart
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.year import Span, Year, dated, search_year
from model.support.figures import duration, percent
from model.support.progress import Search

MEANS = (
    "The same plan started on every date of the year, in the mean weather of the climate's months."
    " A kit meets the plan on a date if no limit is reached in the days that follow."
)
NO_CLIMATE = (
    "This scenario holds no climate, so there is no year to draw. Add one under Place and day"
    " (F2), or as a [climate] in its file."
)


def _year(scenario: Scenario) -> Search[tuple[Scenario, Year]]:
    year = yield from search_year(scenario)
    assert year is not None
    return scenario, year


class YearPart(WorkedPart):
    """The strip, the dates in words, and a reading of the date pointed at."""

    LOOKING = "Running every date of the year …"

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: tuple[Scenario, Year] | None = None
        self.strip = YearStrip()
        self.dates, self.reading = sentence_label(), sentence_label()
        self.missing = sentence_label(NO_CLIMATE)
        self.export = ExportRow("the year", self.strip)
        for widget in (
            sentence_label(MEANS), self.missing, self.bar, self.dates, self.strip, self.reading,
        ):  # fmt: skip
            self.column.addWidget(widget)
        self.column.addWidget(self.export, 0, Qt.AlignmentFlag.AlignRight)
        self.column.addStretch(1)
        self.strip.pointed.connect(self._on_pointed)
        self.strip.chosen.connect(self._on_chosen)
        self.export.table_wanted.connect(self._on_table)
        self._show_found(is_shown=False)

    def show_changed(self, scenario: Scenario) -> None:
        self.missing.setVisible(scenario.climate is None)
        if scenario.climate is None:
            self._found = None
            self._show_found(is_shown=False)

    def work(self, scenario: Scenario) -> Search[Any] | None:
        return None if scenario.climate is None else _year(scenario)

    def show_value(self, scenario: Scenario, value: object) -> None:
        self._found = cast("tuple[Scenario, Year]", value)
        of, year = self._found
        words = year_words(of, year)
        self.dates.setText(words)
        date = of.day.date
        at = year.dates.index(date) if date in year.dates else 0
        self.strip.show_year(year, 24.0 * of.day.days, words, at)
        self._show_found(is_shown=True)

    def _show_found(self, *, is_shown: bool) -> None:
        for widget in (self.dates, self.strip, self.reading, self.export):
            widget.setVisible(is_shown)
        self.export.set_ready(is_shown)

    def _on_pointed(self, at: int) -> None:
        if self._found is not None:
            self.reading.setText(date_words(*self._found, at))

    def _on_chosen(self, at: int) -> None:
        if self._found is None or self._found[0] != self.scenario:
            return
        scenario, year = self._found
        date = year.dates[at]
        changed = dated(scenario, date)
        self.edit_requested.emit(f"run from {_day(date)}", changed)

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            self.export.write_table(path, year_table(*self._found))


def year_words(scenario: Scenario, year: Year) -> str:
    """Return from when to when each kit works, a line a station."""
    return "\n".join(
        f"{name_at(scenario, index)}: {_span_words(scenario, year, index)}."
        for index in range(len(year.stations))
    )


def _span_words(scenario: Scenario, year: Year, index: int) -> str:
    station = year.stations[index]
    if station is None:
        return "not run: see its findings"
    if station.works.all():
        return "meets the plan on every date"
    spans = year.working_spans(index)
    if not spans:
        best = int(station.held_h.argmax())
        longest = duration(float(station.held_h[best]))
        return (
            f"meets the plan on no date; at best it lasts {longest}, from {_day(year.dates[best])}"
        )
    first = f"meets the plan from {_between(spans[0])}"
    others = len(spans) - 1
    if not others:
        return first
    more = "one shorter stretch" if others == 1 else f"{others} shorter stretches"
    return f"{first}, and in {more}"


def date_words(scenario: Scenario, year: Year, at: int) -> str:
    """Return what becomes of every station on one date."""
    run_h = 24.0 * scenario.day.days
    parts = []
    for index, station in enumerate(year.stations):
        if station is None:
            continue
        least = percent(float(station.lowest_fraction[at]))
        holds = (
            "meets the plan"
            if station.works[at]
            else f"lasts {duration(float(station.held_h[at]))} of {duration(run_h)}"
        )
        parts.append(f"{name_at(scenario, index)} {holds}, lowest charge {least}")
    return f"{_day(year.dates[at])}: {'; '.join(parts)}."


def year_table(scenario: Scenario, year: Year) -> Table:
    """Return every date of every station."""
    rows: list[list[object]] = [
        [
            date.isoformat(), name_at(scenario, index), float(station.held_h[at]),
            float(station.lowest_fraction[at]), "yes" if station.works[at] else "no",
            "yes" if station.keeps_reserve[at] else "no",
        ]
        for index, station in enumerate(year.stations)
        if station is not None
        for at, date in enumerate(year.dates)
    ]  # fmt: skip
    heads = ("date", "station", "held_h", "lowest_fraction", "works", "keeps_reserve")
    return heads, rows


def _between(span: Span) -> str:
    return f"{_day(span[0])} to {_day(span[1])}"


def _day(date: Date) -> str:
    return f"{date.day} {date:%B}"
