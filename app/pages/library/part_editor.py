"""Every number of a library part, edited with the same fields as in a station."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.editors.fields.build import editor_for
from app.editors.fields.editor import FieldEditor, NoteLabel
from app.state.display import Display
from app.state.document import Document
from app.state.edit_context import Desk
from app.widgets.caution_label import CautionLabel
from model.editing.field_facts import known_keys
from model.editing.paths import describe, value_at
from model.library.catalogue import LISTS, kind_of
from model.library.store import place_in_station
from model.scenario.cautions import Caution
from model.scenario.part_cautions import part_cautions
from model.scenario.scenario import Day, Scenario, Site
from model.scenario.station import Battery, Part, Radio, Station

LAST = ("mass_kg", "cost")


class PartEditor(QWidget):
    """The fields of one part. It tells each change; whoever owns the part keeps it.

    The fields edit a scenario, so the part stands in one made for it alone.
    """

    part_changed = Signal(object)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._part: Part | None = None
        self._path = ""
        self._is_showing = False
        self._document = Document(_around(None), self)
        self._desk = Desk(self._document, display)
        self._editors: list[FieldEditor] = []
        self._body: QWidget | None = None
        self._note = NoteLabel()
        self._cautions = CautionLabel()
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(6, 2, 6, 8)
        self._whole.addWidget(self._note)
        self._whole.addStretch(1)
        self._whole.addWidget(self._cautions)
        self._document.scenario_changed.connect(self._on_scenario_changed)
        display.units_changed.connect(self._refresh)

    @property
    def part(self) -> Part | None:
        """The part shown."""
        return self._part

    def show_part(self, part: Part | None) -> None:
        """Show a part, or none."""
        if part == self._part and part is not None:
            return
        self._is_showing = True
        rebuild = part is None or self._part is None or kind_of(part) != kind_of(self._part)
        self._part = part
        self._path = place_in_station(kind_of(part)) if part is not None else ""
        self._document.start(_around(part))
        if rebuild:
            self._build()
        self._refresh()
        self.show_fault("")
        self._is_showing = False

    def show_fault(self, sentence: str) -> None:
        """Say why the part cannot be kept as it stands."""
        self._note.show_lines("error", [sentence] if sentence else [])

    def _build(self) -> None:
        if self._body is not None:
            self._body.hide()
            self._body.deleteLater()
        self._body = body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        self._editors = []
        for name in _ordered(self._path) if self._path else ():
            editor = editor_for(self._desk, f"{self._path}.{name}")
            self._editors.append(editor)
            column.addWidget(editor)
        self._whole.insertWidget(0, body)

    def _refresh(self) -> None:
        self._cautions.show_cautions(self._found_cautions(), self._desk.display.sentence)
        for editor in self._editors:
            editor.refresh()
        self._name_without_station()

    def _found_cautions(self) -> tuple[Caution, ...]:
        if self._part is None:
            return ()
        chemistry = getattr(self._part, "chemistry", "")
        return part_cautions(self._path.split(".")[2], chemistry, getattr(self._part, "count", 1))

    def _name_without_station(self) -> None:
        """Take the station out of the names read aloud: here there is none."""
        where = f"{describe(self._path)}, " if self._path else ""
        for widget in self._body.findChildren(QWidget) if self._body else ():
            if where and where in widget.accessibleName():
                widget.setAccessibleName(widget.accessibleName().replace(where, ""))

    def _on_scenario_changed(self) -> None:
        if self._is_showing or not self._path:
            return
        changed = value_at(self._document.scenario, self._path)
        is_changed = changed != self._part
        self._part = changed
        self._refresh()
        if is_changed:
            self.part_changed.emit(changed)


def _ordered(path: str) -> list[str]:
    names = [name for name in known_keys(path) if name != "sources"]
    return ["name", *(name for name in names if name not in ("name", *LAST)), *LAST]


def _around(part: Part | None) -> Scenario:
    """Return a scenario around a part, with the least that one must have."""
    station = Station(radio=Radio(receive_a=0.0), battery=Battery(chemistry="LFP", capacity_ah=1.0))
    if part is not None:
        kind = kind_of(part)
        held = (part,) if kind in LISTS else part
        station = station.model_copy(update={LISTS.get(kind, kind): held})
    return Scenario(
        site=Site(latitude_deg=0.0, longitude_deg=0.0),
        day=Day(date=date(2027, 6, 1)),
        stations=(station,),
    )
