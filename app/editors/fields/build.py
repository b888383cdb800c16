"""The right editor for a field."""

from __future__ import annotations

from app.editors.fields.choices import ChoiceEditor, FlagEditor
from app.editors.fields.conductor import ConductorEditor
from app.editors.fields.editor import FieldEditor
from app.editors.fields.number import NumberEditor
from app.editors.fields.rows import HoursEditor, PointsEditor, ShadeEditor
from app.editors.fields.texts import (
    ClockEditor,
    DateEditor,
    NumbersEditor,
    ProseEditor,
    SkiesEditor,
    TextEditor,
)
from app.state.edit_context import Desk
from model.editing.field_facts import field_at

_EDITORS: dict[str, type[FieldEditor]] = {
    "number": NumberEditor,
    "whole": NumberEditor,
    "text": TextEditor,
    "prose": ProseEditor,
    "choice": ChoiceEditor,
    "flag": FlagEditor,
    "clock": ClockEditor,
    "date": DateEditor,
    "numbers": NumbersEditor,
    "skies": SkiesEditor,
    "points": PointsEditor,
    "hours": HoursEditor,
    "shade": ShadeEditor,
}


def editor_for(desk: Desk, path: str) -> FieldEditor:
    """Return a new editor for the field at a path."""
    if ".leads." in path and path.endswith((".awg", ".size_mm2")):
        return ConductorEditor(desk, path)
    return _EDITORS[field_at(path).kind](desk, path)
