"""The reception reports that were read in this window: one lens reads them, pages print them."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from model.reception.reports import Reports


class HeldReports(QObject):
    """Holds the latest reports, and says when there are others or none."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._reports: Reports | None = None

    @property
    def reports(self) -> Reports | None:
        """What was read last; None before, and while a file is read or refused."""
        return self._reports

    def hold(self, reports: Reports | None) -> None:
        """Hold other reports."""
        if reports is not self._reports:
            self._reports = reports
            self.changed.emit()
