"""What those who listen are told of the day."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.pages.day_view import DayView


def told_of(view: DayView) -> str:
    """Return the description of the day: it follows the curves in the next turn of the window."""
    QCoreApplication.processEvents()
    return view.chart.accessibleDescription()
