"""Place and day on one line, with the rest of them in a part that opens."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from app.caution_label import CautionLabel
from app.fields.build import editor_for
from app.fields.editor import FieldEditor
from app.fields.number import NumberEditor
from app.fields.texts import TextEditor
from app.flow import FlowLayout
from app.laid_out_once import laid_out_once
from app.place.climate import ClimateTable
from app.place.home import HomePlace
from app.place.horizon_field import HorizonField
from app.place.sky import PATH as SKY_PATH
from app.place.sky import SkyChoice, SkyDates
from app.state.edit_context import Desk
from app.state.settings import Settings
from model.findings.rules import Finding
from model.scenario.cautions import SITE, SKY

BEFORE_SKY = ("site.name", "day.date", "day.start_hour", "day.days")
AFTER_SKY = ("day.low_c", "day.high_c")
LONG = (
    "title", "site.latitude_deg", "site.longitude_deg", "site.elevation_m", "site.timezone",
    "site.albedo", "site.licence_max_w", "day.wind_m_s",
)  # fmt: skip
WIDTHS = {"site.name": 22, "title": 40}
HORIZON_PATH = "site.horizon"


class PlacePanel(QWidget):
    """What a person changes most of place and day, and a button for the rest."""

    more_toggled = Signal(bool)

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.home = HomePlace(desk, settings)
        self.editors: dict[str, FieldEditor] = {}
        self._shown: tuple[Any, ...] = ()
        self._more = QToolButton()
        self._more.setText("More of the place")
        self._more.setCheckable(True)
        self._more.setToolTip("Coordinates, time zone, ground, wind, horizon, notes, climate")
        self._more.toggled.connect(self._on_more)
        self._long = QWidget()
        self._long.hide()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 4, 8, 2)
        whole.setSpacing(4)
        short = QWidget()
        line = FlowLayout(short)
        for path in BEFORE_SKY:
            line.addWidget(self._editor(path))
        self.sky, self.sky_days = SkyChoice(desk), SkyDates(desk)
        self.editors[SKY_PATH] = self.sky_days.numbers
        line.addWidget(self.sky)
        for path in AFTER_SKY:
            line.addWidget(self._editor(path))
        line.addWidget(self._more)
        whole.addWidget(short)
        whole.addWidget(self.sky_days)
        whole.addWidget(self._long)
        self._fill_long()
        self.sky.days_wanted.connect(self.sky_days.open)
        self.sky.days_done.connect(self.sky_days.close_days)
        self.setFocusProxy(self.editors[BEFORE_SKY[0]])

    def _fill_long(self) -> None:
        whole = QVBoxLayout(self._long)
        whole.setContentsMargins(0, 0, 0, 0)
        fields = QWidget()
        line = FlowLayout(fields)
        for path in LONG:
            line.addWidget(self._editor(path))
        line.addWidget(self.home)
        whole.addWidget(fields)
        self.wide = QHBoxLayout()
        self.editors[HORIZON_PATH] = HorizonField(self._desk, HORIZON_PATH)
        beside = QVBoxLayout()
        beside.addWidget(self._editor("notes"), 1)
        beside.addWidget(self.editors[HORIZON_PATH])
        self.wide.addLayout(beside, 1)
        whole.addLayout(self.wide)
        self.climate = ClimateTable(self._desk)
        whole.addWidget(self.climate)
        cautions = CautionLabel()
        cautions.show_cautions((*SITE, *SKY))
        whole.addWidget(cautions)

    def _editor(self, path: str) -> FieldEditor:
        editor = editor_for(self._desk, path)
        editor.label.setWordWrap(False)
        if isinstance(editor, TextEditor):
            editor.edit.set_characters(WIDTHS.get(path, 16))
        if isinstance(editor, NumberEditor):
            editor.unit.be_narrow()
            editor.edit.set_characters(5)
        self.editors[path] = editor
        return editor

    def refresh(self) -> None:
        """Show what the document holds."""
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
        self.sky.refresh()
        self.sky_days.refresh()
        self.climate.refresh()
        self.home.refresh()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show each finding beside its field."""
        for editor in self.editors.values():
            editor.show_findings(findings)

    def editor(self, path: str) -> QWidget | None:
        """Return the editor of a field, opening the rest for it."""
        for known, editor in self.editors.items():
            if path == known or path.startswith(f"{known}."):
                if known == SKY_PATH:
                    self.sky_days.show()
                elif known in (*LONG, "notes", HORIZON_PATH):
                    self._more.setChecked(True)
                return editor
        if path.partition(".")[0] == "climate":
            self._more.setChecked(True)
            return self.climate.cell(path)
        return None

    def open_more(self) -> None:
        """Open the rest of place and day."""
        self._more.setChecked(True)

    def _on_more(self, is_open: bool) -> None:
        with laid_out_once(self):
            self._long.setVisible(is_open)
        self.more_toggled.emit(is_open)
