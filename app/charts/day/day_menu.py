"""The menu of the day: zoom, what is shown, the table behind the curves, and pictures."""

from __future__ import annotations

from PySide6.QtWidgets import QMenu, QWidget


class DayMenu(QMenu):
    """Hangs on the curves; whoever makes it says what its entries do."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__("Day", parent)
        self.whole = self.addAction("&Whole run\t0")
        self.closer = self.addAction("Zoom &in\t+")
        self.wider = self.addAction("Zoom &out\t−")
        self.addSeparator()
        self.in_w = self.addAction("Load in &W")
        self.in_w.setCheckable(True)
        self.folded = self.addAction("&Fold panel and load")
        self.folded.setCheckable(True)
        self.marks = self.addAction("What the &marks mean")
        self.addSeparator()
        self.copy = self.addAction("&Copy the picture\tCtrl+C")
        self.png = self.addAction("Save as &PNG…")
        self.svg = self.addAction("Save as &SVG…")
        self.table = self.addAction("Copy the curves as a &table")

    def show_state(self, *, is_zoomed: bool, is_folded: bool) -> None:
        """Offer what is possible now."""
        self.whole.setEnabled(is_zoomed)
        self.wider.setEnabled(is_zoomed)
        self.folded.setChecked(is_folded)
