"""The form of now: which station, what is left in its battery, and when that was read."""

from __future__ import annotations

from datetime import UTC, date, datetime

from PySide6.QtCore import QTime, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTimeEdit,
    QVBoxLayout,
    QWidget,
)

from app.editors.fields.editor import NoteLabel
from app.editors.fields.entry import EntryLine
from app.widgets.number_text import fixed
from model.engine.comparison import Comparison
from model.results.wording import heading_at
from model.support.figures import day_and_time, day_text

LEFT, TAKEN = "Ah left in the battery", "Ah taken out since it was full"


class NowForm(QWidget):
    """Asks; ``wanted`` carries the station, the moment with its offset, and the Ah left."""

    wanted = Signal(int, object, float)
    plan_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._comparison: Comparison | None = None
        self._dates: tuple[date, ...] = ()
        self._minute = 0
        self.station, self.kind, self.day = QComboBox(), QComboBox(), QComboBox()
        self.kind.addItems([LEFT, TAKEN])
        self.ah = EntryLine("charge", "Ah")
        self.time = QTimeEdit()
        self.time.setDisplayFormat("HH:mm")
        self.note = NoteLabel(self)
        self.go = QPushButton("Go on from here")
        self.back = QPushButton("Back to the plan")
        rows = QFormLayout()
        for words, editor in (
            ("Station", self.station), ("Measured", self.kind), ("Charge", self.ah),
            ("Day", self.day), ("Hour", self.time),
        ):  # fmt: skip
            label = QLabel(words)
            label.setBuddy(editor)
            editor.setAccessibleName(f"now, {words.lower()}")
            rows.addRow(label, editor)
        line = QHBoxLayout()
        for button in (self.go, self.back):
            button.setAutoDefault(False)
            line.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(rows)
        column.addWidget(self.note)
        column.addLayout(line)
        self.station.activated.connect(self._suggest)
        self.kind.activated.connect(self._suggest)
        self.go.clicked.connect(self._on_go)
        self.back.clicked.connect(self.plan_wanted)

    def show_comparison(self, comparison: Comparison, minute: int, *, is_now: bool) -> None:
        """Offer the stations and days of a comparison, beginning with the minute pointed at."""
        self._comparison = comparison
        stations = comparison.scenario.stations
        kept = max(self.station.currentIndex(), 0)
        self.station.clear()
        for index in range(len(stations)):
            self.station.addItem(heading_at(comparison.scenario, index))
        self.station.setCurrentIndex(min(kept, len(stations) - 1))
        self._dates = comparison.clock.dates
        self.day.clear()
        self.day.addItems([day_text(each) for each in self._dates])
        at = comparison.clock.at(minute / comparison.clock.step_min)
        if at.date() in self._dates:
            self.day.setCurrentIndex(self._dates.index(at.date()))
        self.time.setTime(QTime(at.hour, at.minute))
        self._minute = minute
        self._suggest()
        self.back.setEnabled(is_now)
        self.note.show_lines("error", [])

    def _suggest(self) -> None:
        """Begin with what the plan has left there."""
        comparison, index = self._comparison, self.station.currentIndex()
        run = comparison.runs[index] if comparison is not None and index >= 0 else None
        if run is not None:
            full_ah = run.station.battery.full_ah
            left = float(run.fraction[round(self._minute / run.clock.step_min)]) * full_ah
            shown = left if self.kind.currentText() == LEFT else full_ah - left
            self.ah.setText(fixed(shown, 1, "Ah"))

    def _on_go(self) -> None:
        comparison, index = self._comparison, self.station.currentIndex()
        if comparison is None or index < 0:
            return
        clock, full_ah = comparison.clock, comparison.scenario.stations[index].battery.full_ah
        typed = self.time.time()
        wall = datetime.combine(self._dates[self.day.currentIndex()], datetime.min.time()).replace(
            hour=typed.hour(), minute=typed.minute(), tzinfo=clock.start.tzinfo
        )
        # An hour that the wall clock skips becomes the one after it.
        at = wall.astimezone(UTC).astimezone(clock.start.tzinfo)
        faults = []
        if not clock.start.timestamp() <= at.timestamp() < clock.at(clock.steps).timestamp():
            first, last = (
                day_and_time(each, clock.days) for each in (clock.start, clock.at(clock.steps))
            )
            faults.append(f"The run goes from {first} to {last}.")
        ah = self.ah.reading
        ah_left = 0.0
        if ah is None:
            faults.append(self.ah.fault or "Enter the charge in Ah.")
        else:
            ah_left = ah if self.kind.currentText() == LEFT else full_ah - ah
            # What was suggested is rounded to one decimal.
            if not -0.05 <= ah_left <= full_ah + 0.05:
                faults.append(f"This battery holds {fixed(full_ah, 1, 'Ah')}.")
            ah_left = min(max(ah_left, 0.0), full_ah)
        if comparison.runs[index] is None:
            faults.append("This station is not run, because of an error in its numbers.")
        self.note.show_lines("error", faults)
        if not faults:
            self.wanted.emit(index, at, ah_left)
