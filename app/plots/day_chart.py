"""The curves of the day: charge over abilities, sun in and load out, for two to four stations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink
from app.charts.time_marks import day_spans, elapsed_min, hour_marks, spacing_min
from app.plots.band import DoubtBand
from app.plots.bands import Drop, Level
from app.plots.base import Chart, Line, Pane
from app.plots.lanes import Lane, Lanes
from app.plots.margins import EndLabel, EndLabels, Ruler
from app.plots.outlook import Outlook, OutlookLayer
from app.plots.placing import Flag
from app.plots.thinning import Floats
from app.plots.words import failures, holding_words, station_name
from app.widgets.tokens import station_style
from model.engine.comparison import Comparison
from model.engine.run import StationRun
from model.results.minute import load_w, panel_w, stretches
from model.scenario.scenario import STATIONS_LIMIT
from model.sky.sun_times import Span as TimeSpan
from model.sky.sun_times import night_spans, twilight_spans

CHARGE_LOW, CHARGE_HIGH = -2.0, 104.0
# Below this a cold floor is thinner than a line. [%]
LEAST_FLOOR = 0.5
FLOOR_PATTERNS = (
    Qt.BrushStyle.BDiagPattern,
    Qt.BrushStyle.FDiagPattern,
    Qt.BrushStyle.VerPattern,
    Qt.BrushStyle.HorPattern,
)


@dataclass(frozen=True)
class _Course:
    """The lines of one station."""

    floor: Line
    ghost: Line
    charge: Line
    sun: Line
    load: Line


class DayChart(Chart):
    """Shows one comparison; every curve is made once and only its points change."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._comparison: Comparison | None = None
        self._ink = Ink.of(self.palette())
        self._load_in_w = False
        self.lanes = Lanes(self.span)
        self.charge = self.add_pane(1, "Charge, %", 80)
        self.sun = self.add_pane(2, "Sun in, W", 10)
        self.load = self.add_pane(3, "Load, A", 10)
        self.outlook = OutlookLayer(self.span, self.charge, self.sun, (CHARGE_LOW, CHARGE_HIGH))
        self.ruler = Ruler(self.span)
        self.end_labels = EndLabels(self.charge.height_at)
        self.add_margin(self.lanes, 0, 1, columns=2)
        self.add_margin(self.ruler, 4, 1)
        self.add_margin(self.end_labels, 1, 2, rows=3)
        self.charge.set_levels(CHARGE_LOW, CHARGE_HIGH)
        self.band = DoubtBand(self.span, self.charge.view, CHARGE_LOW, CHARGE_HIGH)
        self._courses = [self._new_course(index) for index in range(STATIONS_LIMIT)]
        self.stretch_changed.connect(self._on_stretch_changed)

    @property
    def comparison(self) -> Comparison | None:
        """What is shown."""
        return self._comparison

    @property
    def has_cold_floor(self) -> bool:
        """Whether the cold keeps part of a charge from being drawn."""
        return any(course.floor.points[0].size for course in self._courses)

    def curve(self, index: int) -> Line:
        """Return the line of a station's charge."""
        return self._courses[index].charge

    def sun_curve(self, index: int) -> Line:
        """Return the line of the power a station takes from its panel."""
        return self._courses[index].sun

    def load_curve(self, index: int) -> Line:
        """Return the line of a station's load."""
        return self._courses[index].load

    def ghost(self, index: int) -> Line:
        """Return the faint line of a station's earlier charge."""
        return self._courses[index].ghost

    def show_comparison(self, comparison: Comparison) -> None:
        """Show another run of the stations; the band and the outlook of an earlier one go."""
        self._comparison = comparison
        if self.band.spread is not None and self.band.spread.scenario is not comparison.scenario:
            self.band.show_spread(None)
        if self.outlook.outlook is not None and not self._is_shown(self.outlook.outlook):
            self.outlook.show_outlook(None)
        self.span.set_total(float(comparison.scenario.day.days * 1440))
        for index, course in enumerate(self._courses):
            run = comparison.runs[index] if index < len(comparison.runs) else None
            self._show_course(course, run)
        self._show_floors()
        self._scale_sun()
        self._scale(self.load, [course.load for course in self._courses])
        self._show_sky()
        self._show_failures()
        # Their width decides where the panes end.
        self.end_labels.set_labels(self._end_labels())
        self.lay_out()

    def show_outlook(self, outlook: Outlook | None) -> None:
        """Show the field check of a station, or none; one of an earlier comparison is none."""
        shown = outlook if outlook is not None and self._is_shown(outlook) else None
        self.outlook.show_outlook(shown)
        self._scale_sun()

    def _is_shown(self, outlook: Outlook) -> bool:
        runs = self._comparison.runs if self._comparison is not None else ()
        return outlook.index < len(runs) and runs[outlook.index] is outlook.check.predicted

    def show_load_in_w(self, in_w: bool) -> None:
        """Show the load as power or as current."""
        self._load_in_w = in_w
        self.load.set_title("Load, W" if in_w else "Load, A")
        if self._comparison is not None:
            for course, run in zip(self._courses, self._comparison.runs, strict=False):
                self._show_load(course, run)
            self._scale(self.load, [course.load for course in self._courses])
            self.load.follow_span()

    def keep_ghost(self) -> None:
        """Leave the curves of now behind as faint ones."""
        for course in self._courses:
            course.ghost.set(*course.charge.points)
            course.ghost.thin()

    def drop_ghost(self) -> None:
        """Take the faint curves away."""
        for course in self._courses:
            course.ghost.clear()
            course.ghost.thin()

    def fade_ghost(self, strength: float) -> None:
        """Draw the faint curves with a strength from 0 to 1."""
        for index, course in enumerate(self._courses):
            course.ghost.dress(self._ink.ghost(index, strength), Qt.PenStyle.SolidLine)

    def dress_in(self, ink: Ink) -> None:
        """Take over other colours, and the size of the program's text."""
        self._ink = ink
        self.band.dress(ink)
        self.outlook.dress(ink)
        for index, course in enumerate(self._courses):
            colour, style = ink.station(index), station_style(index).line
            for line in (course.charge, course.sun, course.load):
                line.dress(colour, style)
        self.fade_ghost(1.0)
        metrics = self.fontMetrics()
        axis_px = metrics.horizontalAdvance("1000") + metrics.height() + 14
        self.dress(ink, axis_px, self.font().pointSizeF())
        if self._comparison is not None:
            self._show_floors()
            self._show_failures()
            self.lay_out()

    def _new_course(self, index: int) -> _Course:
        return _Course(
            floor=self.charge.add_line(level=-10 + index),
            ghost=self.charge.add_line(level=10 + index),
            charge=self.charge.add_line(level=20 + index),
            sun=self.sun.add_line(level=20 + index),
            load=self.load.add_line(level=20 + index, steps=True),
        )

    def _show_course(self, course: _Course, run: StationRun | None) -> None:
        if run is None:
            for line in (course.floor, course.ghost, course.charge, course.sun, course.load):
                line.clear()
            return
        middles = _middles(run)
        steps = np.append(middles - run.clock.step_min / 2, run.clock.steps * run.clock.step_min)
        course.charge.set(steps, run.fraction * 100.0)
        course.sun.set(middles, panel_w(run))
        floor = run.inputs.climate.cold_floor_fraction * 100.0
        if floor.max() >= LEAST_FLOOR:
            course.floor.set(middles, np.asarray(floor))
        else:
            course.floor.clear()
        self._show_load(course, run)

    def _show_load(self, course: _Course, run: StationRun | None) -> None:
        if run is not None:
            course.load.set(_middles(run), load_w(run) if self._load_in_w else run.flow.load_a)

    def _show_floors(self) -> None:
        """Hatch each floor in its station's colour; floors that are alike are hatched once."""
        shown: list[np.ndarray] = []
        for index, course in enumerate(self._courses):
            floor = course.floor.points[1]
            if not floor.size:
                continue
            if any(np.allclose(floor, other, atol=0.2) for other in shown):
                course.floor.clear()
                continue
            shown.append(floor)
            course.floor.fill(self._ink.station(index), FLOOR_PATTERNS[index])
        if len(shown) == 1:
            first = next(course for course in self._courses if course.floor.points[0].size)
            first.floor.fill(self._ink.faint_text, FLOOR_PATTERNS[0])

    def _scale_sun(self) -> None:
        lines = [course.sun for course in self._courses]
        self.outlook.scale_sun(self._scale(self.sun, lines, self.outlook.highest_w))

    def _scale(self, pane: Pane, lines: list[Line], least: float = 0.0) -> float:
        """Let a pane reach over its lines, and over some least value; return its top."""
        highest = max((line.points[1].max() for line in lines if line.points[1].size), default=0.0)
        top = max(float(highest) * 1.08, least * 1.08, 1.0)
        pane.set_levels(0.0, top)
        return top

    def _show_sky(self) -> None:
        assert self._comparison is not None
        scenario = self._comparison.scenario
        nights = self._elapsed(night_spans(scenario.site, scenario.day))
        twilights = self._elapsed(twilight_spans(scenario.site, scenario.day))
        for pane in (self.charge, self.sun, self.load):
            pane.bands.set_sky(nights, twilights)

    def _elapsed(self, spans: tuple[TimeSpan, ...]) -> tuple[tuple[float, float], ...]:
        assert self._comparison is not None
        clock = self._comparison.clock
        return tuple((elapsed_min(clock, begin), elapsed_min(clock, end)) for begin, end in spans)

    def _show_failures(self) -> None:
        assert self._comparison is not None
        lanes, spots, drops = [], [], []
        for index, run in enumerate(self._comparison.runs):
            name, style = station_name(self._comparison, index), station_style(index)
            if run is None:
                note = f"{name}: not run, because of an error in its numbers"
                lanes.append(Lane(style, name, (), (), note))
                continue
            found = failures(run)
            minutes = [elapsed_min(run.clock, failure.at) for failure in found]
            flags = tuple(
                Flag(minute, failure.words, failure.short)
                for minute, failure in zip(minutes, found, strict=True)
            )
            note = f"{name}: {holding_words(run)}"
            lanes.append(Lane(style, name, stretches(run), flags, note))
            colour = self._ink.station(index)
            for minute in minutes:
                percent = float(run.fraction[round(minute / run.clock.step_min)]) * 100.0
                spots.append((minute, percent, style.marker, colour))
                drops.append(Drop(minute, _share(percent), colour))
        self.lanes.set_lanes(tuple(lanes))
        self.charge.set_marks(spots)
        self.charge.bands.set_levels(
            tuple(
                Level(_share(value), colour, Qt.PenStyle.DashLine)
                for value, _, colour in self._reserves()
            ),
            tuple(drops),
        )

    def _reserves(self) -> list[tuple[float, str, QColor]]:
        """Return each reserve once, in per cent, with its words and its colour."""
        assert self._comparison is not None
        stations = self._comparison.scenario.stations
        holders: dict[float, list[int]] = {}
        for index, station in enumerate(stations):
            if station.reserve_fraction > 0:
                holders.setdefault(station.reserve_fraction * 100.0, []).append(index)
        return [
            (
                value,
                f"reserve {value:.0f} %",
                self._ink.station(indexes[0])
                if len(indexes) == 1 and len(stations) > 1
                else self._ink.faint_text,
            )
            for value, indexes in sorted(holders.items(), reverse=True)
        ]

    def _on_stretch_changed(self) -> None:
        if self._comparison is None:
            return
        self.band.follow()
        self.outlook.follow()
        clock, span = self._comparison.clock, self.span
        spacing = spacing_min(span.high - span.low, span.width_px, self.ruler.label_px())
        marks = hour_marks(clock, span.low, span.high, spacing)
        days = day_spans(clock)
        shown = tuple(day for day in days if day.end > span.low and day.begin < span.high)
        self.ruler.set_marks(marks, shown)
        hours = tuple(mark.minute for mark in marks)
        begins = tuple(day.begin for day in shown[1:])
        for pane in (self.charge, self.sun, self.load):
            pane.bands.set_hours(hours, begins)
        self.end_labels.set_labels(self._end_labels())

    def _end_labels(self) -> tuple[EndLabel, ...]:
        """Name each line at the right end of what is shown, and each reserve."""
        assert self._comparison is not None
        labels = []
        for index in range(len(self._comparison.runs)):
            x, y = self.curve(index).points
            if x.size:
                style = station_style(index)
                at_end = float(np.interp(self.span.high, x, y))
                name = station_name(self._comparison, index)
                colour = self._ink.station(index)
                labels.append(EndLabel(at_end, name, colour, style.line, style.marker))
        labels += [
            EndLabel(value, words, colour, Qt.PenStyle.DashLine)
            for value, words, colour in self._reserves()
        ]
        return tuple(labels)


def _middles(run: StationRun) -> Floats:
    """Return the middle of each step in elapsed minutes: what is drawn there is a mean over it."""
    middles: Floats = (np.arange(run.clock.steps, dtype=np.float64) + 0.5) * run.clock.step_min
    return middles


def _share(percent: float) -> float:
    return (percent - CHARGE_LOW) / (CHARGE_HIGH - CHARGE_LOW)
