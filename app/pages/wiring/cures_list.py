"""What would mend the leads, the greatest gain first, each with a button that does it."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.state.display import Display
from app.widgets.labels import sentence_label
from app.work.jobs import Jobs
from model.advice.lead_remedies import LeadCure, lead_cures
from model.engine.run import StationRun
from model.support.progress import at_once

LOOKING = "Trying shorter and thicker leads and better joints …"
NONE_HELPS = "No change of a single lead would help."
QUIET_MS = 400
MOST_SHOWN = 6


class CuresList(QWidget):
    """Looks for cures beside the window, once the run has been the same for a moment."""

    cure_chosen = Signal(str, float)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._jobs = Jobs(self)
        self._run: StationRun | None = None
        self._is_due = False
        self.cures: tuple[LeadCure, ...] = ()
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self._on_quiet)
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)
        self.state = sentence_label()
        self._rows = QWidget()
        self._grid = QGridLayout(self._rows)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setColumnStretch(0, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.state)
        whole.addWidget(self._rows)

    def show_run(self, run: StationRun | None) -> None:
        """Look for the cures of another run; old ones go at once."""
        if run is self._run:
            return
        self._run = run
        self._jobs.cancel()
        self._show_cures(())
        self._is_due = run is not None
        self.state.setText(LOOKING if run is not None else "")
        self.state.setVisible(run is not None)
        if self.isVisible():
            self._quiet.start()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_due:
            self._quiet.start()

    def rest(self) -> None:
        """End the search; it begins again once this is seen again."""
        self._quiet.stop()
        self._is_due = self._is_due or self._jobs.is_running
        self._jobs.cancel()

    def stop(self) -> None:
        """End the search and wait for the worker: to be called before the window goes."""
        self.rest()
        self._jobs.close()

    def refresh(self) -> None:
        """Show the same cures in other units."""
        self._show_cures(self.cures)

    def _on_quiet(self) -> None:
        if self._is_due and self._run is not None:
            self._is_due = False
            self._jobs.start(at_once(lead_cures, self._run))

    def _on_finished(self, _number: int, cures: tuple[LeadCure, ...]) -> None:
        self.state.setText("" if cures else NONE_HELPS)
        self.state.setVisible(not cures)
        self._show_cures(cures)

    def _on_failed(self, _number: int, fault: str) -> None:
        self.state.setText(f"What would help could not be worked out: {fault}")

    def _show_cures(self, cures: tuple[LeadCure, ...]) -> None:
        self.cures = cures
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for row, cure in enumerate(cures[:MOST_SHOWN]):
            self._add_row(row, cure)
        self._rows.setVisible(bool(cures))

    def _add_row(self, row: int, cure: LeadCure) -> None:
        words = self._display.sentence(cure.sentence)
        label: QLabel = sentence_label(words)
        button = _CureButton(cure)
        button.setAccessibleName(f"apply: {words}")
        button.chosen.connect(self.cure_chosen)
        self._grid.addWidget(label, row, 0)
        self._grid.addWidget(button, row, 1)


class _CureButton(QPushButton):
    """Applies one cure."""

    chosen = Signal(str, float)

    def __init__(self, cure: LeadCure, parent: QWidget | None = None) -> None:
        super().__init__("Apply", parent)
        self._edit = cure.edit
        self.clicked.connect(self._on_clicked)

    def _on_clicked(self) -> None:
        self.chosen.emit(*self._edit)
