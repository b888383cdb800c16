"""Every number of one part, each with its unit and its source."""

from __future__ import annotations

from typing import Any, cast

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QVBoxLayout, QWidget

from app.caution_label import CautionLabel
from app.fields.build import editor_for
from app.fields.conductor import ConductorEditor
from app.fields.editor import FieldEditor
from app.state.edit_context import Desk
from app.station.part_commands import part_commands
from model.editing.field_facts import field_at, known_keys
from model.editing.paths import value_at
from model.findings.rules import Finding
from model.scenario.part_cautions import part_cautions
from model.scenario.station import Lead

LAST = ("mass_kg", "cost")
HIDDEN = ("sources",)


class PartForm(QWidget):
    """One part opened: its fields, its cautions, and what can be done with it."""

    command = Signal(str, str, object)

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.path = path
        self.part_type = type(value_at(desk.document.scenario, path))
        self.editors: dict[str, FieldEditor] = {}
        self._hidden: set[str] = set()
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(18, 2, 6, 8)
        self._whole.setSpacing(3)
        self._add_commands()
        for name in _ordered(path):
            editor = editor_for(desk, f"{path}.{name}")
            self.editors[editor.path] = editor
            self._whole.addWidget(editor)
        self._cautions = CautionLabel()
        self._whole.addWidget(self._cautions)
        self.refresh()

    def _add_commands(self) -> None:
        line = QHBoxLayout()
        line.setSpacing(4)
        self.choose = QPushButton("Choose…")
        self.choose.setToolTip("Take another part from the library")
        self.choose.setAccessibleName(f"choose another {field_at(self.path).label.lower()}")
        self.choose.clicked.connect(self._on_choose)
        self._actions = QPushButton("More")
        self._menu = QMenu(self._actions)
        self._menu.aboutToShow.connect(self._on_menu)
        self._menu.triggered.connect(self._on_command)
        self._actions.setMenu(self._menu)
        line.addWidget(self.choose)
        line.addWidget(self._actions)
        line.addStretch(1)
        self._whole.addLayout(line)

    def refresh(self) -> None:
        """Show what the document holds."""
        part = value_at(self._desk.document.scenario, self.path)
        self._cautions.show_cautions(
            part_cautions(
                self.path.split(".")[2], getattr(part, "chemistry", ""), getattr(part, "count", 1)
            )
        )
        hidden = _beside_the_point(part)
        if isinstance(part, Lead):
            hidden |= self._gauges(part)
        for editor in self.editors.values():
            editor.refresh()
        for name in hidden ^ self._hidden:
            self.editors[f"{self.path}.{name}"].setVisible(name not in hidden)
        self._hidden = hidden

    def _gauges(self, lead: Lead) -> set[str]:
        """Put the usual way to say how thick first; return the other one where it says nothing."""
        us = self._desk.display.is_us
        usual, other = ("awg", "size_mm2") if us else ("size_mm2", "awg")
        first, second = (
            cast("ConductorEditor", self.editors[f"{self.path}.{name}"]) for name in (usual, other)
        )
        if self._whole.indexOf(first) > self._whole.indexOf(second):
            self._whole.removeWidget(first)
            self._whole.insertWidget(self._whole.indexOf(second), first)
            QWidget.setTabOrder(first.edit, second.edit)
        is_in_use = second.edit.hasFocus()
        return {other} if getattr(lead, other) is None and not is_in_use else set()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show each finding beside its field."""
        for editor in self.editors.values():
            editor.show_findings(findings)

    def _on_menu(self) -> None:
        self._menu.clear()
        for key, words in part_commands(self._desk.document.scenario, self.path):
            self._menu.addAction(words.replace("&", "&&")).setData(key)

    def _on_choose(self) -> None:
        self.command.emit("choose", self.path, self.choose)

    def _on_command(self, action: QAction) -> None:
        self.command.emit(action.data(), self.path, self._actions)


def _ordered(path: str) -> list[str]:
    """Return the fields of a part: name first, mass and cost last."""
    names = [name for name in known_keys(path) if name not in HIDDEN]
    middle = [name for name in names if name not in ("name", *LAST)]
    return ["name", *middle, *LAST] if "name" in names else middle


def _beside_the_point(part: Any) -> set[str]:
    """Return the fields that change nothing as the part is set; they come back with the choice."""
    hidden: set[str] = set()
    if getattr(part, "kept", "warm") != "warm":
        hidden.add("warm_c")
    mount = getattr(part, "mount", None)
    if mount == "flat":
        hidden |= {"tilt_deg", "azimuth_deg", "re_aim_hours"}
    elif mount == "fixed":
        hidden.add("re_aim_hours")
    elif mount == "re-aimed":
        hidden |= {"tilt_deg", "azimuth_deg"}
    return hidden
