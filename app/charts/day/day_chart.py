"""The curves of the day: charge over abilities, sun in and load out, for two to four stations."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent
from PySide6.QtWidgets import QWidget

from app.charts.day.band import BAND_TITLE, DoubtBand
from app.charts.day.courses import Course, fill_available, hatch_floors
from app.charts.day.day_marks import (
    CHARGE_HIGH,
    CHARGE_LOW,
    FLOOR_WORDS,
    end_labels,
    marks,
    reserve_levels,
    share_of,
)
from app.charts.day.handle import StartHandle
from app.charts.day.lanes import Lanes
from app.charts.day.outlook import Outlook, OutlookLayer
from app.charts.ink import Ink, mixed
from app.charts.labels import PaneLabel
from app.charts.line import Line
from app.charts.margins import EndLabel, EndLabels
from app.charts.panes import Pane
from app.charts.ruler import days_shown, hours_shown
from app.charts.scale import top_over
from app.charts.span import Minutes
from app.charts.zooming import ZoomingChart
from app.widgets.tokens import station_style
from model.engine.comparison import Comparison
from model.odds.odds import Odds
from model.scenario.scenario import STATIONS_LIMIT, Day, Site
from model.sky.sun_times import Span as TimeSpan
from model.sky.sun_times import night_spans, twilight_spans


class DayChart(ZoomingChart):
    """Shows one comparison; every curve is made once and only its points change.

    ``handle_moved`` carries the field of the selected station that is dragged, and its value;
    ``handle_left`` follows when it is let go. ``lanes_changed`` tells that the room for the panes
    is another, because there are other stations.
    """

    handle_moved = Signal(str, float)
    handle_left = Signal()
    lanes_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._comparison: Comparison | None = None
        self._ink = Ink.of(self.palette())
        self._load_in_w = False
        self._selected = 0
        self._held = ""
        self._labels: tuple[PaneLabel, ...] = ()
        self._ends: tuple[tuple[float, QColor], ...] = ()
        self._nights: tuple[Minutes, ...] = ()
        self._twilights: tuple[Minutes, ...] = ()
        # The place and day that these are of.
        self._sky_of: tuple[Site | None, Day | None, float] = None, None, 0.0
        self.lanes = Lanes(self.span)
        self.charge = self.add_pane(1, "Charge, %", 76)
        self.sun = self.add_pane(2, "Panel, W (shaded: available)", 13)
        self.load = self.add_pane(3, "Load, A", 11)
        self.panes = (self.charge, self.sun, self.load)
        self.handle = StartHandle(self.span, self.charge.view)
        self.outlook = OutlookLayer(self.span, self.charge, self.sun, (CHARGE_LOW, CHARGE_HIGH))
        self.end_labels = EndLabels(self.charge.height_at)
        self.add_margin(self.lanes, 0, 0, columns=3)
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

    def able_curve(self, index: int) -> Line:
        """Return the line of the power that a station's panel could give."""
        return self._courses[index].able

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
        self._title_charge()
        if self.outlook.outlook is not None and not self._is_shown(self.outlook.outlook):
            self.outlook.show_outlook(None)
        self.span.set_total(float(comparison.scenario.day.days * 1440))
        for index, course in enumerate(self._courses):
            run = comparison.runs[index] if index < len(comparison.runs) else None
            course.show(run, load_in_w=self._load_in_w)
        hatch_floors(self._courses, self._ink)
        fill_available(self._courses, self._ink)
        self._scale_sun()
        self._scale(self.load, [course.load for course in self._courses])
        self._show_sky()
        self._show_marks()
        self._show_handle()
        # Their width decides where the panes end.
        self.end_labels.set_labels(self._end_labels())
        if not self.lay_out():
            self._show_words()

    def show_band(self, spread: Odds | None) -> None:
        """Show the uncertainty band of the comparison shown, or none."""
        self.band.show_spread(spread)
        self._title_charge()

    def _title_charge(self) -> None:
        has_band = self.band.spread is not None
        self.charge.set_title(
            f"Charge, % ({BAND_TITLE})" if has_band else "Charge, %", share_of(100.0)
        )

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
            for course in self._courses:
                course.show_load(in_w=self._load_in_w)
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

    def grey_ghost(self) -> None:
        """Draw the earlier curves in grey, each in its kind of line."""
        grey = mixed(self._ink.ground, self._ink.text, 0.5)
        for index, course in enumerate(self._courses):
            course.ghost.dress(grey, station_style(index).line)

    def fold(self, is_folded: bool) -> None:
        """Show the charge alone, or panel and load below it."""
        if is_folded == self.sun.is_shown:
            for pane in (self.sun, self.load):
                pane.show(not is_folded)
            self._keep_heights()
            self.lay_out()

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
        self.dress(ink, self.fontMetrics().horizontalAdvance("1000") + 14)
        if self._comparison is not None:
            hatch_floors(self._courses, self._ink)
            fill_available(self._courses, self._ink)
            self._show_marks()
            self._show_handle()
            if not self.lay_out():
                self._show_words()

    def _new_course(self, index: int) -> Course:
        return Course(
            floor=self.charge.add_line(level=-10 + index),
            ghost=self.charge.add_line(level=10 + index),
            charge=self.charge.add_line(level=20 + index),
            able=self.sun.add_line(level=-20 + index),
            sun=self.sun.add_line(level=20 + index),
            load=self.load.add_line(level=20 + index, steps=True),
        )

    def _scale_sun(self) -> None:
        lines = [line for course in self._courses for line in (course.sun, course.able)]
        self.outlook.scale_sun(self._scale(self.sun, lines, self.outlook.highest_w))

    def _scale(self, pane: Pane, lines: list[Line], least: float = 0.0) -> float:
        """Let a pane reach over its lines, and over some least value; return its top."""
        highest = max((line.points[1].max() for line in lines if line.points[1].size), default=0.0)
        top = top_over(max(float(highest), least))
        pane.set_levels(0.0, top)
        return top

    def _show_sky(self) -> None:
        assert self._comparison is not None
        scenario, step_min = self._comparison.scenario, self._comparison.step_min
        site, day, seen_min = self._sky_of
        if site is scenario.site and day is scenario.day and seen_min <= step_min:
            return
        self._sky_of = scenario.site, scenario.day, step_min
        # The run has worked out where the sun stands at these steps.
        self._nights = self._elapsed(night_spans(scenario.site, scenario.day, step_min))
        self._twilights = self._elapsed(twilight_spans(scenario.site, scenario.day, step_min))
        for pane in self.panes:
            pane.bands.set_sky(self._nights, self._twilights)

    def _elapsed(self, spans: tuple[TimeSpan, ...]) -> tuple[tuple[float, float], ...]:
        assert self._comparison is not None
        clock = self._comparison.clock
        return tuple((clock.minutes_to(begin), clock.minutes_to(end)) for begin, end in spans)

    def _show_marks(self) -> None:
        assert self._comparison is not None
        found = marks(self._comparison, self._ink)
        before_px = self.lanes.minimumHeight()
        self.lanes.set_lanes(found.lanes)
        if self.lanes.minimumHeight() != before_px:
            # Fewer lanes leave more for the panes.
            self._keep_heights()
            self.lanes_changed.emit()
        self.charge.set_marks(found.spots)
        levels = reserve_levels(self._comparison, self._ink)
        self.charge.levels.show_lines(levels, found.drops)
        for pane in (self.sun, self.load):
            pane.levels.show_lines((), tuple(replace(drop, share=0.0) for drop in found.drops))
        self._labels = found.labels
        self._ends = tuple((drop.minute, drop.colour) for drop in found.drops)

    @property
    def ends(self) -> tuple[tuple[float, QColor], ...]:
        """The elapsed minutes at which stations lose an ability, with their colours."""
        return self._ends

    @property
    def sky(self) -> tuple[tuple[Minutes, ...], tuple[Minutes, ...]]:
        """Nights and twilights as elapsed minutes."""
        return self._nights, self._twilights

    def _on_stretch_changed(self) -> None:
        if self._comparison is None:
            return
        self.band.follow()
        self.outlook.follow()
        self.handle.follow()
        self.end_labels.set_labels(self._end_labels())
        self._show_words()

    def _show_words(self) -> None:
        """Mark the hours, and put words beside the moments of the stretch shown."""
        assert self._comparison is not None
        clock, span = self._comparison.clock, self.span
        hours = tuple(mark.minute for mark in hours_shown(clock, span))
        begins = tuple(day.begin for day in days_shown(clock, span)[1:])
        for pane in self.panes:
            pane.bands.set_hours(hours, begins)
        curves = [course.charge for course in self._courses]
        words = FLOOR_WORDS if self.has_cold_floor else ""
        floors = [course.floor for course in self._courses]
        self.charge.set_labels(self._labels, curves, floors, words)

    def _end_labels(self) -> tuple[EndLabel, ...]:
        """Name each line at the right end of what is shown, and each reserve."""
        assert self._comparison is not None
        at_end: list[float | None] = []
        for index in range(len(self._comparison.runs)):
            x, y = self.curve(index).points
            at_end.append(float(np.interp(self.span.high, x, y)) if x.size else None)
        return end_labels(self._comparison, self._ink, at_end, self._selected)

    # The handles of the selected station.

    @property
    def selected(self) -> int:
        """The station whose start charge and reserve can be dragged."""
        return self._selected

    def select_station(self, index: int) -> None:
        """Give the handles to another station."""
        if index != self._selected:
            self._selected = index
            self._show_handle()
            if self._comparison is not None:
                self.end_labels.set_labels(self._end_labels())

    def _show_handle(self) -> None:
        stations = self._comparison.scenario.stations if self._comparison is not None else ()
        if self._selected < len(stations):
            fraction = stations[self._selected].start_fraction
            self.handle.show_at(share_of(fraction * 100.0), self._ink.station(self._selected))

    def _handle_at(self, place: QPointF) -> str:
        """Return the field whose handle stands at a place; nothing where there is none."""
        if self.end_labels.handle_place().contains(place):
            return "reserve_fraction"
        return "start_fraction" if self.handle.grip.contains(place) else ""

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a handle; elsewhere as in every chart."""
        is_left = event.button() == Qt.MouseButton.LeftButton
        self._held = self._handle_at(event.position()) if is_left else ""
        if not self._held:
            super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag a handle; elsewhere as in every chart."""
        if not self._held:
            is_on_handle = bool(self._handle_at(event.position()))
            shape = Qt.CursorShape.SizeVerCursor if is_on_handle else Qt.CursorShape.ArrowCursor
            self.viewport().setCursor(shape)
            super().mouseMoveEvent(event)
            return
        place = self.charge.place
        share = (place.bottom() - event.position().y()) / max(place.height(), 1.0)
        charge = CHARGE_LOW + share * (CHARGE_HIGH - CHARGE_LOW)
        fraction = round(min(max(charge, 0.0), 100.0)) / 100.0
        self.handle_moved.emit(self._held, fraction)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if self._held:
            self._held = ""
            self.handle_left.emit()
        else:
            super().mouseReleaseEvent(event)
