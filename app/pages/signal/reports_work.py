"""Reads reports and works out what they say: the disk's thread gets bytes, the worker the rest."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from app.work.answered import Answered
from app.work.disk import NO_ANSWER, PATIENCE_S, disk
from app.work.jobs import Jobs
from model.editing.faults import ScenarioError
from model.engine.comparison import Comparison
from model.files.atomic_write import shown_name
from model.reception.reports import Reports
from model.reception.station_answers import station_answers
from model.reception.table_reading import heads_of, reports_bytes, reports_in
from model.support.progress import at_once


class ReportsWork(QObject):
    """One table at a time; what it says of a station is worked out anew for each comparison.

    ``heads_found`` carries the headings of a file, ``refused`` why it cannot be used, ``outdated``
    that what was found is of an earlier question, ``found`` the answers; ``read`` the reports
    themselves, or none while there are none.
    """

    heads_found = Signal(object)
    refused = Signal(str)
    outdated = Signal()
    found = Signal(object)
    read = Signal(object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.name = ""
        self._data = b""
        self._chosen: dict[str, str] = {}
        self._timezone = ""
        self._reports: Reports | None = None
        self._is_refused = False
        self._comparison: Comparison | None = None
        self._station = 0
        self._answered = Answered(self)
        self._reading, self._answering = Jobs(self), Jobs(self)
        self._patience = QTimer(self, singleShot=True, interval=round(PATIENCE_S * 1000))
        self._patience.timeout.connect(self._on_no_answer)
        self._reading.finished.connect(self._on_read)
        self._answering.finished.connect(self._on_answers)
        for jobs in (self._reading, self._answering):
            jobs.failed.connect(self._on_failed)

    @property
    def is_settled(self) -> bool:
        """Whether nothing is being read or worked out."""
        at_work = self._reading.is_running or self._answering.is_running
        return not (self._patience.isActive() or at_work)

    def open(self, path: Path, chosen: Mapping[str, str]) -> None:
        """Read another file, with the headings that a person has chosen before."""
        self._forget()
        self.name, self._chosen = shown_name(path), dict(chosen)
        self._patience.start()
        self._answered.then(disk.ask(partial(_bytes_or_fault, path)), self._on_bytes)

    def choose(self, chosen: Mapping[str, str]) -> None:
        """Read the same file with other headings."""
        self._chosen = dict(chosen)
        if self._data:
            self._read()

    def show_comparison(self, comparison: Comparison, station: int) -> None:
        """Answer for a station of another comparison."""
        if (comparison, station) == (self._comparison, self._station):
            return
        self._comparison, self._station = comparison, station
        self.outdated.emit()
        is_read = self._reports is not None or self._is_refused
        if self._data and not (is_read and comparison.scenario.site.timezone == self._timezone):
            self._read()
        else:
            self._answer()

    def stop(self) -> None:
        """End all work; what is not done begins again with the next comparison."""
        self._patience.stop()
        self._answered.forget()
        for jobs in (self._reading, self._answering):
            jobs.close()
        self._comparison = None

    def _forget(self) -> None:
        self._data, self._reports = b"", None
        self.read.emit(None)
        self._reading.cancel()
        self._answering.cancel()
        self._answered.forget()
        self.outdated.emit()

    def _on_bytes(self, found: bytes | str) -> None:
        self._patience.stop()
        if isinstance(found, str):
            self.refused.emit(found)
            return
        self._data = found
        try:
            heads = heads_of(found, self.name)
        except ScenarioError as error:
            self.refused.emit(str(error))
            return
        # What was chosen for another log than this one is no fault here.
        self._chosen = {key: head for key, head in self._chosen.items() if head in heads}
        self.heads_found.emit(heads)
        self._read()

    def _read(self) -> None:
        if self._comparison is None:
            return
        self._reports, self._is_refused = None, False
        self.read.emit(None)
        self._timezone = self._comparison.scenario.site.timezone
        self.outdated.emit()
        work = at_once(_read_or_fault, self._data, self.name, self._timezone, dict(self._chosen))
        self._reading.start(work)

    def _on_read(self, _number: int, found: object) -> None:
        if isinstance(found, Reports):
            self._reports = found
            self.read.emit(found)
            self._answer()
        else:
            self._is_refused = True
            self.refused.emit(str(found))

    def _answer(self) -> None:
        if self._reports is not None and self._comparison is not None:
            given = self._reports, self._comparison, self._station
            self._answering.start(at_once(station_answers, *given))

    def _on_answers(self, _number: int, found: object) -> None:
        self.found.emit(found)

    def _on_failed(self, _number: int, fault: str) -> None:
        self.refused.emit(fault)

    def _on_no_answer(self) -> None:
        self._answered.forget()
        self.refused.emit(f"{self.name}: {NO_ANSWER}")


def _bytes_or_fault(path: Path) -> bytes | str:
    try:
        return reports_bytes(path)
    except ScenarioError as error:
        return str(error)


def _read_or_fault(data: bytes, name: str, timezone: str, chosen: dict[str, str]) -> Reports | str:
    try:
        return reports_in(data, name, timezone, chosen)
    except ScenarioError as error:
        return "\n".join(str(fault) for fault in error.faults)
