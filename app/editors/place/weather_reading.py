"""Reads weather files one after the other: the disk's thread gets bytes, the worker makes days."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from app.work.answered import Answered
from app.work.disk import NO_ANSWER, PATIENCE_S, disk
from app.work.jobs import Jobs
from model.editing.faults import ScenarioError
from model.files.atomic_write import shown_name
from model.files.weather_file import weather_bytes
from model.files.weather_import import FileRead, file_read
from model.support.progress import at_once


class WeatherReading(QObject):
    """Tells of each file what it holds or what is wrong with it; can be stopped between two."""

    read = Signal(object)
    refused = Signal(str)
    advanced = Signal(int, int)
    finished = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._waiting: list[Path] = []
        self._done, self._all = 0, 0
        self._path: Path | None = None
        self._answered = Answered(self)
        self._jobs = Jobs(self)
        self._patience = QTimer(self, singleShot=True, interval=round(PATIENCE_S * 1000))
        self._patience.timeout.connect(self._on_no_answer)
        self._jobs.finished.connect(self._on_made)
        self._jobs.failed.connect(self._on_failed)

    @property
    def is_reading(self) -> bool:
        """Whether a file is being read."""
        return self._path is not None

    def add(self, paths: list[Path]) -> None:
        """Read more files."""
        if not self.is_reading:
            self._done = self._all = 0
        self._waiting += paths
        self._all += len(paths)
        if not self.is_reading:
            self._next()

    def stop(self) -> None:
        """Read no more; what was read stays read."""
        self._waiting.clear()
        self._path = None
        self._patience.stop()
        self._answered.forget()
        self._jobs.cancel()
        self.finished.emit()

    def close(self) -> None:
        """Stop, and wait for the worker: to be called before the window goes."""
        self.stop()
        self._jobs.close()

    def _next(self) -> None:
        if not self._waiting:
            self._path = None
            self.finished.emit()
            return
        self.advanced.emit(self._done, self._all)
        self._path = self._waiting.pop(0)
        self._patience.start()
        self._answered.then(disk.ask(partial(_bytes_or_fault, self._path)), self._on_bytes)

    def _on_bytes(self, found: bytes | str) -> None:
        self._patience.stop()
        assert self._path is not None
        if isinstance(found, str):
            self._over(found)
        else:
            self._jobs.start(at_once(_read_or_fault, found, shown_name(self._path)))

    def _on_made(self, _number: int, found: object) -> None:
        self._over(found)

    def _on_failed(self, _number: int, fault: str) -> None:
        self._over(fault)

    def _on_no_answer(self) -> None:
        self._answered.forget()
        assert self._path is not None
        self._over(f"{shown_name(self._path)}: {NO_ANSWER}")

    def _over(self, found: object) -> None:
        self._done += 1
        if isinstance(found, str):
            self.refused.emit(found)
        else:
            self.read.emit(found)
        # Whoever was told may have had enough.
        if self._path is not None:
            self._next()


def _bytes_or_fault(path: Path) -> bytes | str:
    try:
        return weather_bytes(path)
    except ScenarioError as error:
        return str(error)


def _read_or_fault(data: bytes, name: str) -> FileRead | str:
    try:
        return file_read(data, name)
    except ScenarioError as error:
        return str(error)
