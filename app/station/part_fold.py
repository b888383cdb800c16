"""The lines of a station: one for each part, and one for each list of parts."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.caution_label import CautionLabel
from app.fields.editor import forget_refused
from app.state.edit_context import Desk
from app.station.choose import PartList
from app.station.fold import Fold
from app.station.offered import Offered
from app.station.part_form import PartForm
from app.station.slots import SLOTS, Slot, headline, list_headline
from model.editing.paths import value_at
from model.findings.rules import Finding
from model.scenario.part_cautions import part_cautions

GRAVITY = ("error", "warning", "hint")


def gravest(findings: tuple[Finding, ...]) -> str:
    """Return the gravest level among findings, or nothing."""
    levels = {finding.level for finding in findings}
    return next((level for level in GRAVITY if level in levels), "")


def inside(findings: tuple[Finding, ...], path: str) -> tuple[Finding, ...]:
    """Return the findings at a path or below it."""
    return tuple(f for f in findings if f.path == path or f.path.startswith(f"{path}."))


def _about_the_whole(
    findings: tuple[Finding, ...], path: str, *, is_empty: bool
) -> tuple[str, list[str]]:
    """Return what is found of a part as a whole, or of any field of one that is not there."""
    mine = tuple(f for f in findings if f.path == path or is_empty)
    return gravest(mine), [f"{f.sentence} {f.remedy}".strip() for f in mine]


class PartFold(Fold):
    """One part, or an empty place for one."""

    command = Signal(str, str, object)
    part_chosen = Signal(str, object)

    def __init__(
        self,
        desk: Desk,
        offered: Offered,
        slot: Slot,
        path: str,
        title: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(title, parent)
        self._desk, self._offered, self._slot, self.path = desk, offered, slot, path
        self._findings: tuple[Finding, ...] = ()
        self._held: Any = self
        self._us = desk.display.is_us
        # The form while there is no part, or what is offered while there is one.
        self._put_aside: QWidget | None = None

    def refresh(self) -> None:
        """Show what the document holds."""
        part = value_at(self._desk.document.scenario, self.path)
        us = self._desk.display.is_us
        if part is self._held and us == self._us and part is not None:
            return
        self._us = us
        if (part is None) != (self._held is None):
            self._put_aside = self.exchange(self._put_aside)
            if isinstance(self.body, PartForm):
                forget_refused(self.body)
                self.body.show_findings(self._findings)
        self._held = part
        if isinstance(self.body, PartForm):
            self.body.refresh()
        self._show_line()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Mark the line, and show each finding beside its field."""
        self._findings = inside(findings, self.path)
        self.show_note(*_about_the_whole(self._findings, self.path, is_empty=self._held is None))
        if isinstance(self.body, PartForm):
            self.body.show_findings(self._findings)
        self._show_line()

    def editor(self, path: str) -> QWidget | None:
        """Return the editor of a field, opening the part for it."""
        self.set_open(True)
        if not isinstance(self.body, PartForm):
            return self.button
        for known, editor in self.body.editors.items():
            if path == known or path.startswith(f"{known}."):
                return editor
        return self.button

    def make_body(self) -> QWidget:
        if value_at(self._desk.document.scenario, self.path) is None:
            parts = PartList(self._offered.library, self._slot.kind, self._desk.display)
            parts.part_chosen.connect(self._on_part_chosen)
            return parts
        form = PartForm(self._desk, self.path)
        form.command.connect(self.command)
        form.show_findings(self._findings)
        return form

    def offer_anew(self) -> None:
        """Offer the parts of a library that changed, where parts are offered now."""
        if isinstance(self._put_aside, PartList):
            self._put_aside.deleteLater()
            self._put_aside = None
        if isinstance(self.body, PartList):
            body = self.exchange(None)
            assert body is not None
            body.deleteLater()

    def _show_line(self) -> None:
        part = self._held
        if part is None:
            self.button.show_line("", "none", gravest(self._findings))
        else:
            number = headline(part, self._desk.display)
            self.button.show_line(part.name, number, gravest(self._findings))

    def _on_part_chosen(self, part: object) -> None:
        self.part_chosen.emit(self.path, part)


class ListFold(Fold):
    """Several parts of one kind: a line for each, and a way to add one."""

    command = Signal(str, str, object)

    def __init__(
        self, desk: Desk, offered: Offered, slot: Slot, path: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(slot.label, parent)
        self._desk, self._offered, self._slot, self.path = desk, offered, slot, path
        self._findings: tuple[Finding, ...] = ()
        self._entries: list[PartFold] = []

    def refresh(self) -> None:
        """Show what the document holds."""
        if self.body is not None:
            self._match_entries()
            for entry in self._entries:
                entry.refresh()
        self._show_line()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Mark the line, and the entries that have a finding."""
        self._findings = inside(findings, self.path)
        self.show_note(*_about_the_whole(self._findings, self.path, is_empty=False))
        for entry in self._entries:
            entry.show_findings(self._findings)
        self._show_line()

    def editor(self, path: str) -> QWidget | None:
        """Return the editor of a field, opening what it lies in."""
        self.set_open(True)
        for entry in self._entries:
            if path == entry.path or path.startswith(f"{entry.path}."):
                return entry.editor(path)
        return self.button

    def make_body(self) -> QWidget:
        body = QWidget()
        self._entry_lines = QVBoxLayout(body)
        self._entry_lines.setContentsMargins(12, 0, 0, 4)
        self._entry_lines.setSpacing(0)
        self._add = QPushButton(f"Add a {self._slot.kind}…")
        self._add.clicked.connect(self._on_add)
        self._entry_lines.addWidget(self._add)
        cautions = CautionLabel()
        self._entry_lines.addWidget(cautions)
        cautions.show_cautions(part_cautions(self._slot.name))
        self._entries = []
        self._match_entries()
        for entry in self._entries:
            entry.refresh()
            entry.show_findings(self._findings)
        return body

    def _match_entries(self) -> None:
        count = len(value_at(self._desk.document.scenario, self.path))
        while len(self._entries) > count:
            entry = self._entries.pop()
            entry.hide()
            entry.deleteLater()
        while len(self._entries) < count:
            index = len(self._entries)
            title = f"{self._slot.kind.capitalize()} {index + 1}"
            entry = PartFold(self._desk, self._offered, self._slot, f"{self.path}.{index}", title)
            entry.command.connect(self.command)
            self._entries.append(entry)
            self._entry_lines.insertWidget(index, entry)

    def _show_line(self) -> None:
        index = int(self.path.split(".")[1])
        station = self._desk.document.scenario.stations[index]
        number = list_headline(self._slot, station, self._desk.display)
        self.button.show_line("", number, gravest(self._findings))

    def _on_add(self) -> None:
        self.command.emit("choose", self.path, self._add)


def slot_of(path: str) -> Slot:
    """Return the slot a path lies in."""
    name = path.split(".")[2]
    return next(slot for slot in SLOTS if slot.name == name)
