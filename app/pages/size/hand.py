"""One input moved by hand: a slider, what the station does now, and what it does then."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSlider, QVBoxLayout, QWidget

from app.pages.size.input_words import value_words
from app.pages.size.size_words import sentence
from app.state.display import Display
from app.widgets.labels import heading, sentence_label
from app.widgets.tokens import station_style
from app.work.latest import LatestWork
from model.advice.advice import rerun
from model.editing.faults import ScenarioError
from model.editing.move_input import can_move, label_of, moved
from model.engine.comparison import why_withheld
from model.scenario.scenario import Scenario
from model.support.progress import at_once
from model.verdict.sentences import end_words

TICKS = 50
# A variant's name may be longer by the number that tells it from another of its name.
NAME_LIMIT = 70
Fates = tuple[Scenario, str, int, str, str]


def fate_words(scenario: Scenario, index: int) -> str:
    """Return how a station ends, or why it cannot be run."""
    withheld = why_withheld(scenario, index)
    return f"{end_words(rerun(scenario, index))}." if withheld is None else sentence(withheld)


def _fates(
    scenario: Scenario, index: int, path: str, ticks: int, changed: Scenario | None
) -> Fates:
    """Return what becomes of the station as it is, and with one input moved."""
    before = fate_words(scenario, index)
    after = "" if changed is None else fate_words(changed, index)
    return scenario, path, ticks, before, after


class Hand(QWidget):
    """Moves one input of one station; its value can be kept, in the scenario or as a variant."""

    edit_requested = Signal(str, object)
    variant_wanted = Signal(str, object)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._scenario: Scenario | None = None
        self._index, self._path = 0, ""
        self._latest = LatestWork(self)
        self._latest.done.connect(self._on_done)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(-TICKS, TICKS)
        self.slider.setPageStep(5)
        self.title, self.before, self.after = heading(""), sentence_label(), sentence_label()
        self.keep = QPushButton("Keep this value")
        self.keep_variant = QPushButton("Keep as a variant")
        self.keep_variant.setToolTip("The scenario stays as it is; see Variants")
        self._lay_out()
        self.slider.valueChanged.connect(self._on_moved)
        self.keep.clicked.connect(self._on_keep)
        self.keep_variant.clicked.connect(self._on_keep_variant)
        self.hide()

    def _lay_out(self) -> None:
        whole, line = QVBoxLayout(self), QHBoxLayout()
        whole.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.slider, 1)
        line.addWidget(self.keep)
        line.addWidget(self.keep_variant)
        whole.addWidget(self.title)
        whole.addLayout(line)
        whole.addWidget(self.before)
        whole.addWidget(self.after)

    @property
    def is_settled(self) -> bool:
        """Whether what is said is of the slider as it stands."""
        return self._latest.is_settled

    def show_input(self, scenario: Scenario | None, index: int, path: str) -> None:
        """Show one input as it is, with the slider in its middle; none where it cannot be moved."""
        self._scenario, self._index, self._path = scenario, index, path
        is_possible = scenario is not None and bool(path) and _movable(scenario, path)
        self.setVisible(is_possible)
        self.slider.blockSignals(True)
        self.slider.setValue(0)
        self.slider.blockSignals(False)
        self._latest.forget()
        if is_possible and scenario is not None:
            self.title.setText(f"Vary by hand: {label_of(path)}")
            self.slider.setAccessibleName(self.title.text())
            self._on_moved(0)

    def stop(self) -> None:
        """Wait for the worker: to be called before the window goes."""
        self._latest.close()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._latest.forget()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._on_moved(self.slider.value())

    def _on_moved(self, ticks: int) -> None:
        scenario = self._scenario
        if scenario is None:
            return
        changed, refused = None, ""
        if ticks:
            try:
                changed = moved(scenario, self._path, ticks / TICKS)
            except ScenarioError as error:
                refused = sentence(str(error.faults[0]))
        for button in (self.keep, self.keep_variant):
            button.setEnabled(changed is not None)
        self.after.setVisible(bool(ticks))
        self.after.setText(refused or (self._then(changed) if changed is not None else ""))
        if self.isVisible():
            self._latest.ask(at_once(_fates, scenario, self._index, self._path, ticks, changed))

    def _then(self, changed: Scenario) -> str:
        return f"Then {value_words(changed, self._path, self._display)}"

    def _on_done(self, value: object) -> None:
        of, path, ticks, before, after = cast(Fates, value)
        if of != self._scenario or path != self._path:
            return
        now, said = value_words(of, path, self._display), self._display.sentence
        self.before.setText(f"Now {now}: {said(before)}")
        if after:
            changed = moved(of, path, ticks / TICKS)
            self.after.setText(f"{self._then(changed)}: {said(after)}")

    def _moved(self) -> Scenario | None:
        """Return the scenario as the slider stands, None in its middle."""
        if self._scenario is None or self.slider.value() == 0:
            return None
        return moved(self._scenario, self._path, self.slider.value() / TICKS)

    def _on_keep(self) -> None:
        changed = self._moved()
        if changed is not None:
            self.edit_requested.emit(f"change of {label_of(self._path)}", changed)

    def _on_keep_variant(self) -> None:
        changed = self._moved()
        if changed is None:
            return
        label = label_of(self._path)
        words = f"{label} {value_words(changed, self._path, self._display)}"
        several = len(changed.stations) > 1 and self._path.startswith("stations.")
        owner = f"{station_style(self._index).letter}: " if several else ""
        self.variant_wanted.emit(f"{owner}{words}"[:NAME_LIMIT], changed)


def _movable(scenario: Scenario, path: str) -> bool:
    try:
        return can_move(scenario, path)
    except KeyError:
        return False
