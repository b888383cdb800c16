"""The parts of one kind in the library, each with its number, to choose from."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QMenu, QPushButton, QVBoxLayout, QWidget

from app.fields.editor import plain_tip
from app.state.display import Display
from app.station.slots import headline
from model.library.catalogue import Library
from model.scenario.station import Part


class PartMenu(QMenu):
    """A menu of parts; ``part_chosen`` carries the part and the path it is for."""

    part_chosen = Signal(str, object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._path = ""
        self._parts: tuple[Part, ...] = ()
        self.triggered.connect(self._on_triggered)

    def offer(self, path: str, parts: tuple[Part, ...], display: Display, under: QWidget) -> None:
        """Show the parts under a widget."""
        self.clear()
        self._path, self._parts = path, parts
        for index, part in enumerate(parts):
            name = part.name.replace("&", "&&")
            self.addAction(f"{name}\t{headline(part, display)}").setData(index)
        if not parts:
            self.addAction("The library has none").setEnabled(False)
        self.popup(under.mapToGlobal(under.rect().bottomLeft()))

    def _on_triggered(self, action: QAction) -> None:
        index = action.data()
        if index is not None:
            self.part_chosen.emit(self._path, self._parts[index])


class PartList(QWidget):
    """Parts to put into an empty slot, one button each."""

    part_chosen = Signal(object)

    def __init__(
        self, library: Library, kind: str, display: Display, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(18, 2, 6, 8)
        whole.setSpacing(2)
        for part in library.of(kind):
            button = _PartButton(part, headline(part, display))
            button.chosen.connect(self.part_chosen)
            whole.addWidget(button)


class _PartButton(QPushButton):
    """One part; the button carries it."""

    chosen = Signal(object)

    def __init__(self, part: Part, number: str) -> None:
        super().__init__()
        self._part = part
        self._words = f"{part.name}: {number}"
        self.setAccessibleName(f"add {self._words}")
        self.setToolTip(plain_tip(self._words))
        self.setMinimumWidth(60)
        self.clicked.connect(self._on_clicked)
        self._elide()

    def _elide(self) -> None:
        room = max(self.width() - 16, 60)
        text = self.fontMetrics().elidedText(self._words, Qt.TextElideMode.ElideRight, room)
        self.setText(text.replace("&", "&&"))

    def _on_clicked(self) -> None:
        self.chosen.emit(self._part)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._elide()
