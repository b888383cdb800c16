"""What could stay at home: everything that is worked out about sizes, on sheets side by side."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QScrollArea, QTabWidget, QVBoxLayout, QWidget

from app.display import Display
from app.sizing.even_part import EvenPart
from app.sizing.kit_map_part import KitMapPart
from app.sizing.levers_part import LeversPart
from app.sizing.sizes_part import SizesPart
from app.sizing.terms_part import TermsPart
from app.sizing.year_part import YearPart
from model.compare import Comparison

Part = SizesPart | KitMapPart | EvenPart | LeversPart | TermsPart | YearPart


class SizingView(QWidget):
    """Hands each scenario to its sheets; only the sheet in sight is worked out.

    ``edit_requested`` carries what the undo step is called and the scenario it leads to.
    """

    edit_requested = Signal(str, object)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sizes = SizesPart(display)
        self.kit_map = KitMapPart(display)
        self.even = EvenPart(display)
        self.levers = LeversPart(display)
        self.terms = TermsPart()
        self.year = YearPart()
        self.sheets = QTabWidget()
        self.sheets.setDocumentMode(True)
        self.sheets.setAccessibleName("sheets about sizes")
        for part, title, tip in (
            (self.sizes, "Smallest kit", "What could stay at home, with its proof"),
            (self.kit_map, "Battery and panel", "Which pairs hold, and what they weigh"),
            (self.even, "Break-even", "Which station needs less, over two inputs"),
            (self.levers, "What moves it most", "Inputs by their effect, and one moved by hand"),
            (self.terms, "Equal terms", "Same power, same mass or same time"),
            (self.year, "The year", "From when to when each kit works"),
        ):
            at = self.sheets.addTab(_scrolled(part), title)
            self.sheets.setTabToolTip(at, tip)
            part.edit_requested.connect(self.edit_requested)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.sheets)

    @property
    def parts(self) -> tuple[Part, ...]:
        """All sheets, in their order."""
        return (self.sizes, self.kit_map, self.even, self.levers, self.terms, self.year)

    @property
    def is_settled(self) -> bool:
        """Whether the sheet in sight is of the scenario as it is."""
        return self.parts[self.sheets.currentIndex()].is_settled

    def show_comparison(self, comparison: Comparison) -> None:
        """Take over another scenario."""
        for part in self.parts:
            part.show_scenario(comparison.scenario)

    def stop(self) -> None:
        """Cancel all work and wait for it: to be called before the window goes."""
        for part in self.parts:
            part.stop()


def _scrolled(part: QWidget) -> QScrollArea:
    """Return a part in a frame that scrolls where the window is too small for it."""
    area = QScrollArea()
    area.setWidget(part)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area
