"""What those who listen are told of the day."""

from __future__ import annotations

from PySide6.QtTest import QTest

from app.pages.day_view import DayView


def told_of(view: DayView) -> str:
    """Return the description of the day: it follows once the curves are painted."""
    while not view.read.is_settled:
        QTest.qWait(5)
    return view.chart.accessibleDescription()
