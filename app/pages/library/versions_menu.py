"""The menu of the earlier versions of the person's own parts, kind by kind."""

from __future__ import annotations

from functools import partial

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.pages.library.shelf import Shelf, Version
from app.state.backups import words_of_time
from model.library.catalogue import KIND_LABELS, KINDS, Kind
from model.scenario.station import Part

NONE = "None yet: a version is kept whenever a save replaces one"


class LibraryVersions(QMenu):
    """Filled when it opens: when each version was replaced, and how many parts differ."""

    def __init__(self, shelf: Shelf, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shelf = shelf
        self.aboutToShow.connect(self.fill)

    def fill(self) -> None:
        """List the versions of each kind that has any, the newest first."""
        for action in self.actions():
            menu = QMenu.menuInAction(action)
            if isinstance(menu, QMenu):
                menu.deleteLater()
        self.clear()
        versions = self._shelf.versions()
        for kind in KINDS:
            of_kind = [each for each in versions if each.kind == kind]
            if of_kind:
                self._add(kind, of_kind)
        if self.isEmpty():
            self.addAction(NONE).setEnabled(False)

    def _add(self, kind: Kind, versions: list[Version]) -> None:
        menu = self.addMenu(KIND_LABELS[kind])
        now = self._shelf.library.of(kind)
        for version in versions:
            action = QAction(words_of_time(version.backup), menu)
            if version.parts is None:
                action.setText(f"{action.text()}: cannot be read")
                action.setEnabled(False)
            else:
                action.setText(f"{action.text()}: {_difference(now, version.parts)}")
                action.triggered.connect(partial(self._shelf.go_back_to, version))
            menu.addAction(action)


def _difference(now: tuple[Part, ...], then: tuple[Part, ...]) -> str:
    here, there = ({part.name: part for part in parts} for parts in (now, then))
    count = sum(here.get(name) != there.get(name) for name in {*here, *there})
    if not count:
        return "the same parts as now"
    return "1 part differs" if count == 1 else f"{count} parts differ"
