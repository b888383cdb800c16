"""The ground of all parts here: each works out its result beside the window, once in sight."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.widgets.work_bar import WorkBar
from app.work.jobs import Jobs
from model.scenario.scenario import Scenario
from model.support.progress import Search

QUIET_MS = 350
OUTDATED = "Out of date."
STOPPED = "Stopped."


class WorkedPart(QWidget):
    """Shows the result of one long work; while a newer one is worked out, the old one stays.

    Nothing is worked out while the part is out of sight.
    """

    edit_requested = Signal(str, object)
    settled = Signal()
    LOOKING = "Working it out …"

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scenario: Scenario | None = None
        self._jobs = Jobs(self)
        self._is_due = False
        self._has_result = False
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self._on_quiet)
        self._jobs.progressed.connect(self._on_progressed)
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)
        self.bar = WorkBar()
        self.bar.cancel_wanted.connect(self.cancel)
        self.bar.again_wanted.connect(self.work_again)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(8, 6, 8, 6)
        self.column.setSpacing(6)

    # What a part of its own has to say.

    def work(self, scenario: Scenario) -> Search[Any] | None:
        """Return the work for the worker, None where there is nothing to work out."""
        raise NotImplementedError

    def show_value(self, scenario: Scenario, value: object) -> None:
        """Show what the worker found."""
        raise NotImplementedError

    def show_changed(self, scenario: Scenario) -> None:
        """Show at once what needs no worker."""

    # What holds for all.

    @property
    def scenario(self) -> Scenario | None:
        """The scenario as it is now; the result shown may still be of an earlier one."""
        return self._scenario

    @property
    def is_settled(self) -> bool:
        """Whether nothing is due and nobody is at work."""
        return not self._is_due and not self._jobs.is_running

    def show_scenario(self, scenario: Scenario) -> None:
        """Take over another scenario; its result follows when the part is looked at."""
        if scenario == self._scenario:
            return
        self._scenario = scenario
        self.show_changed(scenario)
        self.work_again()

    def work_again(self) -> None:
        """Work the result out anew."""
        if self._scenario is None:
            return
        self._jobs.cancel()
        self._is_due = True
        self.bar.show_idle(OUTDATED if self._has_result else "")
        if self.isVisible():
            self._quiet.start()

    def cancel(self) -> None:
        """Stop the work; it can be begun again."""
        self._quiet.stop()
        self._is_due = False
        self._jobs.cancel()
        self.bar.show_offer(f"{STOPPED} {OUTDATED}" if self._has_result else STOPPED)
        self.settled.emit()

    def stop(self) -> None:
        """End the work and wait for the worker; it begins again once this is seen again."""
        self._quiet.stop()
        self._is_due = self._is_due or self._jobs.is_running
        self._jobs.close()

    def _on_quiet(self) -> None:
        if not self._is_due or self._scenario is None:
            return
        self._is_due = False
        work = self.work(self._scenario)
        if work is None:
            self.bar.show_idle()
            self.settled.emit()
            return
        # What stands below is of an earlier scenario until the work is done.
        self.bar.show_working(f"{OUTDATED} {self.LOOKING}" if self._has_result else self.LOOKING)
        self._jobs.start(work)

    def _on_progressed(self, _number: int, share: float) -> None:
        self.bar.advance(share)

    def _on_finished(self, _number: int, value: object) -> None:
        assert self._scenario is not None
        self._has_result = True
        self.bar.show_idle()
        self.show_value(self._scenario, value)
        self.settled.emit()

    def _on_failed(self, _number: int, fault: str) -> None:
        self.bar.show_offer(f"It could not be worked out: {fault}")
        self.settled.emit()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_due:
            self._quiet.start()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self._jobs.is_running:
            self._jobs.cancel()
            self._is_due = True
        self._quiet.stop()
