"""The sheet of place and day: one sheet of four parts, each with a heading."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.charts.horizon import HorizonSketch
from app.editors.fields.build import editor_for
from app.editors.fields.editor import FieldEditor
from app.editors.fields.number import NumberEditor
from app.editors.fields.texts import ProseEditor, TextEditor
from app.editors.place.climate import ClimateTable
from app.editors.place.home import HomePlace
from app.editors.place.horizon_field import HorizonField
from app.editors.place.locator_field import NAME as LOCATOR
from app.editors.place.locator_field import LocatorField
from app.editors.place.sky import PATH as SKY_PATH
from app.editors.place.sky import SkyChoice, SkyDates
from app.editors.place.zone_field import PATH as ZONE
from app.editors.place.zone_field import ZoneField
from app.state.edit_context import Desk
from app.state.settings import Settings
from app.widgets.caution_label import CautionLabel
from app.widgets.flow import FlowLayout
from app.widgets.labels import heading, sentence_label
from app.widgets.tokens import GRID_PX
from model.findings.rules import Finding
from model.scenario.cautions import SITE, SKY

ANSWERS = "Where the stations stand, when, and under which sky: the same for all of them."
PLACE_ROWS = (
    ("site.name", LOCATOR),
    ("site.latitude_deg", "site.longitude_deg"),
    (ZONE, "site.elevation_m"),
)
GROUND_ROW = ("site.albedo", "site.licence_max_w")
DAY_ROW = ("day.date", "day.start_hour", "day.days", "day.low_c", "day.high_c", "day.wind_m_s")
WIDTHS = {"site.name": 24, "title": 40}
NOTE_LINES = 4
HORIZON_PATH = "site.horizon"


class PlacePanel(QWidget):
    """What all stations share apart from the plan."""

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.editors: dict[str, FieldEditor] = {}
        self._shown: tuple[Any, ...] = ()
        self._findings: tuple[Finding, ...] = ()
        self.home = HomePlace(desk, settings, self)
        self.horizon = HorizonSketch(self)

    def begin(self) -> None:
        """Make the fields when they are first wanted: the window need not wait for them."""
        if self.editors:
            return
        self._build()
        self.refresh()
        self.show_findings(self._findings)

    def _build(self) -> None:
        self.climate = ClimateTable(self._desk)
        self.sky, self.sky_days = SkyChoice(self._desk), SkyDates(self._desk)
        self.editors[SKY_PATH] = self.sky_days.numbers
        self.answers = sentence_label(ANSWERS)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(GRID_PX, 4, GRID_PX, GRID_PX)
        whole.setSpacing(4)
        whole.addWidget(self.answers)
        head = QHBoxLayout()
        head.addWidget(heading("Place"))
        head.addStretch(1)
        head.addWidget(self.home)
        whole.addLayout(head)
        whole.addWidget(self._place_part())
        for title, part in (
            ("Day and sky", self._day_part()),
            ("Climate and years", self.climate),
            ("This scenario", self._scenario_part()),
        ):
            whole.addSpacing(2)
            whole.addWidget(heading(title))
            whole.addWidget(part)
        self.sky.days_wanted.connect(self.sky_days.open)
        self.sky.days_done.connect(self.sky_days.close_days)
        self.setFocusProxy(self.editors["site.name"])

    def _place_part(self) -> QWidget:
        part = QWidget()
        grid = QGridLayout(part)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(GRID_PX)
        grid.setVerticalSpacing(3)
        for row, paths in enumerate(PLACE_ROWS):
            for column, path in enumerate(paths):
                self._put(grid, self._editor(path), row, 2 * column)
        below = len(PLACE_ROWS)
        grid.addWidget(self._in_line(GROUND_ROW), below, 0, 1, 4)
        horizon = HorizonField(self._desk, HORIZON_PATH)
        self.editors[HORIZON_PATH] = horizon
        self._put(grid, horizon, below + 1, 0, columns=3)
        grid.addWidget(self.horizon, 0, 4, below + 2, 1)
        grid.setColumnStretch(4, 1)
        return part

    def _day_part(self) -> QWidget:
        part = QWidget()
        words = QHBoxLayout()
        words.addWidget(self.sky)
        words.addStretch(1)
        whole = QVBoxLayout(part)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(4)
        whole.addWidget(self._in_line(DAY_ROW))
        whole.addLayout(words)
        whole.addWidget(self.sky_days)
        return part

    def _in_line(self, paths: tuple[str, ...]) -> QWidget:
        line = QWidget()
        fields = FlowLayout(line)
        for path in paths:
            fields.addWidget(self._editor(path))
        return line

    def _scenario_part(self) -> QWidget:
        part = QWidget()
        line = QHBoxLayout(part)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(2 * GRID_PX)
        own = QGridLayout()
        own.setHorizontalSpacing(GRID_PX)
        own.setVerticalSpacing(3)
        title, notes = self._editor("title"), self._editor("notes")
        self._put(own, title, 0, 0)
        self._put(own, notes, 1, 0)
        line.addLayout(own, 3)
        # Inside from the beginning: shown without a place, it would be a window for a moment.
        self._cautions = CautionLabel(part)
        self._show_cautions()
        self._cautions.setAlignment(Qt.AlignmentFlag.AlignTop)
        line.addWidget(self._cautions, 2)
        return part

    def _show_cautions(self) -> None:
        self._cautions.show_cautions((*SITE, *SKY), self._desk.display.sentence)

    def _put(
        self, grid: QGridLayout, editor: FieldEditor, row: int, column: int, columns: int = 1
    ) -> None:
        """Put an editor into the grid with its label before it, so that all stand in columns."""
        editor.line.removeWidget(editor.label)
        editor.label.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
        if isinstance(editor, ProseEditor):
            editor.edit.setMaximumHeight(editor.edit.fontMetrics().lineSpacing() * NOTE_LINES + 8)
            editor.label.setAlignment(Qt.AlignmentFlag.AlignTop)
        grid.addWidget(editor.label, row, column)
        grid.addWidget(editor, row, column + 1, 1, columns)
        if isinstance(editor, NumberEditor):
            editor.line.addStretch(1)

    def _editor(self, path: str) -> FieldEditor:
        editor = self._made(path)
        editor.label.setWordWrap(False)
        if isinstance(editor, TextEditor):
            editor.edit.set_characters(WIDTHS[path])
        if isinstance(editor, NumberEditor):
            editor.unit.be_narrow()
            editor.edit.set_characters(8 if path.endswith("_deg") else 5)
        self.editors[path] = editor
        return editor

    def _made(self, path: str) -> FieldEditor:
        if path == LOCATOR:
            return LocatorField(self._desk)
        return ZoneField(self._desk) if path == ZONE else editor_for(self._desk, path)

    def refresh(self) -> None:
        """Show what the document holds, once there are fields to show it in."""
        if not self.editors:
            return
        scenario = self._desk.document.scenario
        shown = (
            scenario.site, scenario.day, scenario.climate, scenario.title, scenario.notes,
            self._desk.display.is_us,
        )  # fmt: skip
        if shown == self._shown:
            return
        self._shown = shown
        for editor in self.editors.values():
            editor.refresh()
        self._show_cautions()
        self.sky.refresh()
        self.sky_days.refresh()
        self.climate.refresh()
        self.home.refresh()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show each finding beside its field."""
        self._findings = findings
        for editor in self.editors.values():
            editor.show_findings(findings)
        if self.editors:
            self.climate.show_findings(findings)

    def editor(self, path: str) -> QWidget | None:
        """Return the editor of a field."""
        self.begin()
        if path.partition(".")[0] == "climate":
            return self.climate.cell(path)
        for known, editor in self.editors.items():
            if path == known or path.startswith(f"{known}."):
                if known == SKY_PATH:
                    self.sky_days.show()
                return editor
        return None
