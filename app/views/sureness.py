"""How sure the ends are, and what to measure next."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout

from app.sizing.sureness import SurenessView
from app.views.view import Around, View
from model.engine.comparison import Comparison


class SurenessPage(View):
    """Sentences alone, in a frame that scrolls by the keyboard."""

    title = "Odds"
    usual_size = (600, 560)
    # Its work beside the window ends soon after a change, and begins only when the hand rests.
    wait_ms, longest_wait_ms = 30, 200

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self.sureness = SurenessView()
        area = QScrollArea()
        area.setWidget(self.sureness)
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        area.setAccessibleName(self.title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area)
        self.setFocusProxy(area)

    def show_comparison(self, comparison: Comparison) -> None:
        self.sureness.show_comparison(comparison)

    def stop(self) -> None:
        self.sureness.stop()
