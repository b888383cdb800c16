"""A lens of several questions: one is chosen at the top, and its answer stands under it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.editors.fields.choices import QuietCombo
from app.pages.lens import Lens
from app.pages.view import View
from app.widgets.one_at_a_time import OneAtATime
from app.widgets.tokens import GRID_PX

NAME = "question of this lens"
# So much of a question is seen on a narrow window [characters].
LEAST_CHARACTERS = 16


class Questions(QWidget):
    """The questions of one or more views in one list, and the view that answers the chosen one."""

    def __init__(self, lenses: Sequence[Lens], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lenses = tuple(lenses)
        # In the order of the list: which lens, and which of its questions.
        self._asked = [
            (lens, number) for lens in lenses for number in range(len(lens.view.questions))
        ]
        self.choice = _Choice()
        self.choice.setAccessibleName(NAME)
        self.choice.addItems([lens.view.questions[number] for lens, number in self._asked])
        self._answers = OneAtATime()
        for lens in lenses:
            self._answers.add(lens)
            lens.view.asked.connect(self._on_asked)
        label = QLabel("&Question")
        label.setBuddy(self.choice)
        line = QHBoxLayout()
        line.setContentsMargins(2 * GRID_PX, GRID_PX // 2, 2 * GRID_PX, GRID_PX // 2)
        line.setSpacing(GRID_PX)
        line.addWidget(label)
        line.addWidget(self.choice)
        line.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(line)
        whole.addWidget(self._answers, 1)
        self.choice.currentIndexChanged.connect(self._on_chosen)

    def take_focus(self) -> None:
        """Give the list of questions the keyboard."""
        self.choice.setFocus()

    def show_view(self, view: str) -> None:
        """Answer a question of a view: the one answered there last."""
        lens = next(lens for lens in self._lenses if lens.key == view)
        self._choose(lens, lens.view.question)

    def _choose(self, lens: Lens, number: int) -> None:
        self.choice.setCurrentIndex(self._asked.index((lens, number)))

    def _on_chosen(self, row: int) -> None:
        lens, number = self._asked[row]
        lens.view.ask(number)
        self._answers.bring(lens)

    def _on_asked(self, number: int) -> None:
        """Follow a view that went to another of its questions by itself."""
        view = self.sender()
        assert isinstance(view, View)
        self._choose(next(lens for lens in self._lenses if lens.view is view), number)


class _Choice(QuietCombo):
    """As wide as its longest question where there is room."""

    def __init__(self) -> None:
        super().__init__()
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.setMinimumContentsLength(LEAST_CHARACTERS)
        font = self.font()
        font.setBold(True)
        self.setFont(font)

    def minimumSizeHint(self) -> QSize:
        return QComboBox.minimumSizeHint(self)
