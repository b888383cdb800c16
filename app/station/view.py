"""All stations side by side."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QWidget

from app.fields.editor import forget_refused
from app.laid_out_once import laid_out_once
from app.state.edit_context import Desk
from app.station.choose import PartMenu
from app.station.column import StationColumn
from app.station.offered import Offered
from app.station.part_commands import KEEP, after_command
from app.station.part_fold import slot_of
from model.editing.edit_stations import (
    fitted,
    is_listed,
    station_of,
    with_station_duplicated,
    with_station_moved,
    with_station_removed,
)
from model.editing.paths import value_at
from model.engine.comparison import Comparison
from model.library.catalogue import Library
from model.library.new_station import with_station_added
from model.results.wording import name_at
from model.scenario.scenario import STATIONS_LIMIT
from model.scenario.station import Part, Station
from model.verdict.table import Verdict


class StationsView(QScrollArea):
    """A column for each station; asks the document for every change.

    ``keep_wanted`` carries a station, from 0, and the part of it that the library is to take in.
    """

    keep_wanted = Signal(int, object)

    def __init__(self, desk: Desk, library: Library, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._library, self._offered = desk, library, Offered(library)
        # Columns of stations that went stay, unseen: an undo has no time to make one anew.
        self._made: list[StationColumn] = []
        self._shown: tuple[Station, ...] = ()
        # What was open of stations that went: they come back with an undo.
        self._left_open: dict[Station, set[str]] = {}
        self._revealed: QWidget | None = None
        self._menu = PartMenu(self)
        self._menu.part_chosen.connect(self._on_part_chosen)
        self._inside = QWidget()
        self._line = QHBoxLayout(self._inside)
        self._line.setContentsMargins(4, 4, 4, 4)
        self._line.setSpacing(6)
        self.setWidget(self._inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName("stations")

    def refresh(self) -> None:
        """Show what the document holds; what is open stays with its station, not its place."""
        stations = self._desk.document.scenario.stations
        opened = self._opened_elsewhere(stations)
        before, self._shown = dict(enumerate(self._shown)), stations
        with laid_out_once(self._inside):
            self._refresh_columns(opened, before)

    def _refresh_columns(self, opened: dict[int, set[str]], before: dict[int, Station]) -> None:
        stations = self._shown
        while len(self._made) < len(stations):
            self._add_column()
        for column in self._made[len(stations) :]:
            column.hide()
            # A key still on its way to a field there would ask for a station that is gone.
            column.setEnabled(False)
        for column, station in zip(self.columns, stations, strict=True):
            if column.index in opened and before.get(column.index) is not station:
                forget_refused(column)
            column.refresh()
            if column.index in opened:
                column.set_open_slots(opened[column.index])
            column.setEnabled(True)
            column.show()

    @property
    def columns(self) -> list[StationColumn]:
        """The columns of the stations there are."""
        return self._made[: len(self._shown)]

    def _add_column(self) -> None:
        column = StationColumn(self._desk, self._offered, len(self._made))
        column.part_command.connect(self._on_part_command)
        column.part_chosen.connect(self._on_part_chosen)
        column.station_command.connect(self.do_with_station)
        self._made.append(column)
        self._line.addWidget(column)

    def _opened_elsewhere(self, stations: tuple[Station, ...]) -> dict[int, set[str]]:
        """Return what is to be open at each place, where stations came, went or moved."""
        before = {
            id(station): column.open_slots()
            for station, column in zip(self._shown, self.columns, strict=True)
        }
        places = {id(station): place for place, station in enumerate(self._shown)}
        is_moved = any(places.get(id(each), at) != at for at, each in enumerate(stations))
        if len(stations) == len(self._shown) and not is_moved:
            return {}
        kept = {id(station) for station in stations}
        self._left_open |= {each: before[id(each)] for each in self._shown if id(each) not in kept}
        return {
            at: before.get(id(each), self._left_open.get(each, set()))
            for at, each in enumerate(stations)
        }

    def offer_library(self, library: Library) -> None:
        """Offer the parts of a library that changed."""
        self._offered.library = library
        for column in self._made[len(self._shown) :]:
            # Of a station that is gone there is nothing to offer; an undo makes it anew.
            self._line.removeWidget(column)
            column.deleteLater()
        del self._made[len(self._shown) :]
        for column in self.columns:
            column.offer_anew()

    def show_comparison(self, comparison: Comparison) -> None:
        """Show what became of each station, and what was found at its fields."""
        for column in self.columns[: len(comparison.runs)]:
            column.show_run(comparison.runs[column.index])
            column.show_findings(comparison.findings_of(column.index))

    def show_verdict(self, verdict: Verdict) -> None:
        """Show the verdict on each station under its name."""
        for column in self.columns[: len(verdict.lines)]:
            column.show_line(verdict.lines[column.index])

    def usual_width(self, room: int) -> int:
        """Return the width for as many whole columns as there is room for, one at least."""
        margins, gap = 10, self._line.spacing()
        width = margins + self.verticalScrollBar().sizeHint().width()
        for count, column in enumerate(self.columns):
            wanted = width + column.minimumSizeHint().width() + gap
            if count and wanted > room:
                break
            width = wanted
        return width

    def editor(self, path: str) -> QWidget | None:
        """Return the editor of a field of some station, opening what it lies in."""
        index = station_of(path)
        return self.columns[index].editor(path) if index < len(self.columns) else None

    def reveal(self, widget: QWidget) -> None:
        """Bring a widget into sight once it is laid out, and give it the keyboard."""
        widget.setFocus()
        self._revealed = widget
        QTimer.singleShot(0, self, self._scroll_to_revealed)

    def _scroll_to_revealed(self) -> None:
        if self._revealed is not None:
            self.ensureWidgetVisible(self._revealed, 20, 60)
            self._revealed = None

    def add_station(self) -> None:
        """Add one more station."""
        scenario = self._desk.document.scenario
        added = with_station_added(scenario, self._library)
        self._desk.document.replace("a further station", added)
        self.reveal(self.columns[-1].name)

    def focused_station(self) -> int:
        """Return the station the keyboard is in, by default the first."""
        widget = self.window().focusWidget()
        for column in self.columns:
            if widget is not None and column.isAncestorOf(widget):
                return column.index
        return 0

    def duplicate_focused(self) -> None:
        """Duplicate the station the keyboard is in, if there is room for one more."""
        if len(self.columns) < STATIONS_LIMIT:
            self.do_with_station("duplicate", self.focused_station())

    def remove_focused(self) -> None:
        """Remove the station the keyboard is in, unless it is the last one."""
        if len(self.columns) > 1:
            self.do_with_station("remove", self.focused_station())

    def move_focused_left(self) -> None:
        """Move the station the keyboard is in one place to the left."""
        if self.focused_station() > 0:
            self.do_with_station("left", self.focused_station())

    def move_focused_right(self) -> None:
        """Move the station the keyboard is in one place to the right."""
        if self.focused_station() < len(self.columns) - 1:
            self.do_with_station("right", self.focused_station())

    def do_with_station(self, key: str, index: int) -> None:
        """Duplicate, move or remove a station."""
        scenario = self._desk.document.scenario
        name = name_at(scenario, index)
        if key == "duplicate":
            after = with_station_duplicated(scenario, index)
        elif key == "remove":
            after = with_station_removed(scenario, index)
        else:
            to = index + (1 if key == "right" else -1)
            after = with_station_moved(scenario, index, to)
        words = {"duplicate": "copy of", "remove": "removal of"}.get(key, "move of")
        self._desk.document.replace(f"{words} {name}", after)

    def _on_part_command(self, key: str, path: str, button: QWidget) -> None:
        if key == "choose":
            parts = self._offered.library.of(slot_of(path).kind)
            self._menu.offer(path, parts, self._desk.display, button)
            return
        if key == KEEP:
            part = value_at(self._desk.document.scenario, path)
            self.keep_wanted.emit(station_of(path), part)
            return
        text, after = after_command(self._desk.document.scenario, path, key)
        self._desk.document.replace(text, after)

    def _on_part_chosen(self, path: str, part: Part) -> None:
        index = station_of(path)
        place = int(path.rpartition(".")[2]) if is_listed(path) else None
        after = fitted(self._desk.document.scenario, index, part, place)
        name = name_at(self._desk.document.scenario, index)
        self._desk.document.replace(f"{part.name} for {name}", after)
