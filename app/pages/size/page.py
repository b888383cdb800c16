"""What could stay at home: sizes, maps, levers, equal terms and the year."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from app.editors.fields.editor import NoteLabel
from app.pages.size.view import QUESTIONS, SizingView
from app.pages.view import Around, View, put
from model.engine.comparison import Comparison
from model.scenario.scenario import Scenario


class SizingPage(View):
    """The sheets about sizes; what is taken over from them is one undo step each."""

    title = "What could stay at home"
    questions = QUESTIONS
    # Its work beside the window ends soon after a change, and begins only when the hand rests.
    wait_ms, longest_wait_ms = 30, 200

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self._seen: Scenario | None = None
        self.sizing = SizingView(around.desk.display)
        self._said = NoteLabel()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._said)
        whole.addWidget(self.sizing, 1)
        self.answer_with(self.sizing.sheets)
        self.sizing.edit_requested.connect(self._on_edit)
        around.document.file_changed.connect(self._on_file_changed)

    def show_comparison(self, comparison: Comparison) -> None:
        self._seen = comparison.scenario
        self._said.show_lines("hint", [])
        self.sizing.show_kept(self.around.document.kept)
        self.sizing.show_comparison(comparison)

    def rest(self) -> None:
        """Each part ends its work once it is hidden."""

    def stop(self) -> None:
        self.sizing.stop()

    def _on_file_changed(self) -> None:
        self.sizing.show_kept(self.around.document.kept)

    def _on_edit(self, text: str, scenario: Scenario) -> None:
        document = self.around.document
        self._said.show_lines("error", put(document, text, self._seen, scenario))
