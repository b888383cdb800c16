"""One station: its name, what it weighs, its three clocks, and its parts on a line each."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QAction, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.fields.number import NumberEditor
from app.fields.texts import TextEditor
from app.state.edit_context import Desk
from app.station.offered import Offered
from app.station.part_fold import ListFold, PartFold
from app.station.slots import SLOTS
from app.verdict.clock_lines import clock_lines
from app.widgets.tokens import is_dark, station_style
from model.engine.run import StationRun
from model.findings.rules import Finding
from model.scenario.scenario import STATIONS_LIMIT
from model.scenario.station import Extra, Station
from model.station.carried_mass import carried_total, shared_extras
from model.verdict.sentences import StationLine

COLUMN_CHARACTERS = 35


class StationColumn(QFrame):
    """Shows one station and passes on what a person wants done with it."""

    part_command = Signal(str, str, object)
    part_chosen = Signal(str, object)
    station_command = Signal(str, int)

    def __init__(
        self, desk: Desk, offered: Offered, index: int, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.index = index
        self._desk = desk
        self._shown: tuple[Station, tuple[Extra, ...], bool] | None = None
        self._run: StationRun | None = None
        self._findings: tuple[Finding, ...] | None = None
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAccessibleName(f"station {index + 1}")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(6, 6, 6, 6)
        whole.setSpacing(2)
        self.name = TextEditor(desk, f"stations.{index}.name")
        self._add_head(whole)
        self._clocks = ClockLines()
        whole.addWidget(self._clocks)
        self.charge = [
            NumberEditor(desk, f"stations.{index}.{name}")
            for name in ("start_fraction", "reserve_fraction")
        ]
        for editor in self.charge:
            whole.addWidget(editor)
        self.folds: list[PartFold | ListFold] = []
        self._add_folds(whole, offered)
        whole.addStretch(1)

    def _add_head(self, whole: QVBoxLayout) -> None:
        self.name.label.hide()
        font = self.name.edit.font()
        font.setBold(True)
        self.name.edit.setFont(font)
        self._more = QToolButton()
        self._more.setText("⋯")
        self._more.setAccessibleName(f"what to do with station {self.index + 1}")
        self._more.setToolTip("Duplicate, move or remove this station")
        self._more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._menu = QMenu(self._more)
        self._menu.aboutToShow.connect(self._on_menu)
        self._menu.triggered.connect(self._on_command)
        self._more.setMenu(self._menu)
        self._carried = QLabel()
        self._carried.setTextFormat(Qt.TextFormat.PlainText)
        self._carried.setWordWrap(True)
        head = QHBoxLayout()
        head.setSpacing(6)
        head.addWidget(StationMark(self.index))
        head.addWidget(self.name, 1)
        head.addWidget(self._more)
        whole.addLayout(head)
        whole.addWidget(self._carried)

    def _add_folds(self, whole: QVBoxLayout, offered: Offered) -> None:
        for slot in SLOTS:
            path = f"stations.{self.index}.{slot.name}"
            fold = (
                ListFold(self._desk, offered, slot, path)
                if slot.is_list
                else PartFold(self._desk, offered, slot, path, slot.label)
            )
            fold.command.connect(self.part_command)
            if isinstance(fold, PartFold):
                fold.part_chosen.connect(self.part_chosen)
            self.folds.append(fold)
            whole.addWidget(fold)

    def refresh(self) -> None:
        """Show what the document holds."""
        scenario = self._desk.document.scenario
        shared = shared_extras(scenario, self.index)
        # Parts that did not change are the same objects, so this costs nothing.
        shown = (scenario.stations[self.index], shared, self._desk.display.is_us)
        if self._shown is not None and _is_same(shown, self._shown):
            return
        self._shown = shown
        self.name.refresh()
        for editor in self.charge:
            editor.refresh()
        for fold in self.folds:
            fold.refresh()
        carried = carried_total(scenario.stations[self.index], shared)
        mass = self._desk.display.quantity(carried.mass_kg, "kg", 2)
        self._carried.setText(f"{mass}, {carried.words}")

    def show_run(self, run: StationRun | None) -> None:
        """Show the three clocks of a run."""
        if run is None or run is not self._run:
            self._run = run
            self._clocks.show_clocks(clock_lines(run))

    def show_line(self, line: StationLine) -> None:
        """Show the verdict on this station."""
        self._clocks.show_short(line.short)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show each finding of this station beside its field."""
        if findings == self._findings:
            return
        self._findings = findings
        self.name.show_findings(findings)
        for editor in self.charge:
            editor.show_findings(findings)
        for fold in self.folds:
            fold.show_findings(findings)

    def editor(self, path: str) -> QWidget | None:
        """Return the editor of a field of this station, opening what it lies in."""
        for editor in (self.name, *self.charge):
            if editor.path == path:
                return editor
        for fold in self.folds:
            if path == fold.path or path.startswith(f"{fold.path}."):
                return fold.editor(path)
        return self.name

    def offer_anew(self) -> None:
        """Offer the parts of a library that changed."""
        for fold in self.folds:
            if isinstance(fold, PartFold):
                fold.offer_anew()

    def open_slots(self) -> set[str]:
        """Return which parts are open."""
        return {fold.path.split(".")[2] for fold in self.folds if fold.is_open}

    def set_open_slots(self, names: set[str]) -> None:
        """Open these parts and close the others."""
        for fold in self.folds:
            fold.set_open(fold.path.split(".")[2] in names)

    def _on_menu(self) -> None:
        self._menu.clear()
        count = len(self._desk.document.scenario.stations)
        for key, words, is_possible in (
            ("duplicate", "Duplicate", count < STATIONS_LIMIT),
            ("left", "Move to the left", self.index > 0),
            ("right", "Move to the right", self.index < count - 1),
            ("remove", "Remove", count > 1),
        ):
            action = self._menu.addAction(words)
            action.setData(key)
            action.setEnabled(is_possible)

    def _on_command(self, action: QAction) -> None:
        self.station_command.emit(action.data(), self.index)

    def minimumSizeHint(self) -> QSize:
        usual = self.fontMetrics().horizontalAdvance("0") * COLUMN_CHARACTERS
        return super().minimumSizeHint().expandedTo(QSize(usual, 0))


def _is_same(
    shown: tuple[Station, tuple[Extra, ...], bool], before: tuple[Station, tuple[Extra, ...], bool]
) -> bool:
    return shown[0] is before[0] and shown[1:] == before[1:]


class ClockLines(QWidget):
    """The verdict on a station in a few words, and the three clocks under it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._short, self._clocks = QLabel(), QLabel()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 4)
        whole.setSpacing(1)
        for label in (self._short, self._clocks):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
            whole.addWidget(label)
        font = self._short.font()
        font.setBold(True)
        self._short.setFont(font)

    def show_short(self, short: str) -> None:
        """Show the verdict in a few words."""
        self._short.setText(short[:1].upper() + short[1:])

    def show_clocks(self, clocks: tuple[str, ...]) -> None:
        """Show a line for each clock."""
        self._clocks.setText("\n".join(clocks))


class StationMark(QWidget):
    """The letter, colour, line and marker by which the plots show a station."""

    def __init__(self, index: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = station_style(index)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"station {self._style.letter}")

    def sizeHint(self) -> QSize:
        height = self.fontMetrics().height()
        return QSize(height * 2, height + 6)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colour = QColor(self._style.colour(dark=is_dark(self.palette())))
        height = self.fontMetrics().height()
        painter.setPen(self.palette().color(self.foregroundRole()))
        letter = QRect(0, 0, self.width(), height)
        painter.drawText(letter, Qt.AlignmentFlag.AlignCenter, self._style.letter)
        painter.setPen(QPen(colour, 2.5, self._style.line))
        painter.drawLine(0, height + 2, self.width(), height + 2)
