"""The spares: what stands ready where, and which goes to which post by when."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtWidgets import QComboBox, QPushButton, QVBoxLayout, QWidget

from app.pages.group.columns import Column, typed
from app.pages.group.editing_part import EditingPart
from app.pages.group.records_model import RecordsModel
from app.pages.group.records_table import RecordsTable
from app.state.display import Display
from app.state.group_document import GroupDocument
from app.widgets.flow import FlowLayout
from app.widgets.labels import heading, sentence_label
from model.group.edit_group import with_spare_like, without_spare
from model.group.group import SPARE_SLOTS, Spare, SpareSlot
from model.group.group_run import GroupResult
from model.group.group_words import ORDER_MEANS, spares_words
from model.group.spares import Allotment, numbers_of

NO_SPARES = "No spares stand ready. Add one like a part of a post."
CAUTION = "Swap a battery, never join two. Set the controller to the chemistry of the new one."


@dataclass(frozen=True)
class Listed:
    """A spare of the file with its numbers."""

    spare: Spare
    numbers: tuple[int, ...]


def _numbers(listed: Listed, _us: bool) -> str:
    first, last = listed.numbers[0], listed.numbers[-1]
    return str(first) if first == last else f"{first} to {last}"


def _part(listed: Listed, _us: bool) -> str:
    part = listed.spare.part
    return f"{listed.spare.slot}, {part.name}" if part.name else listed.spare.slot


SPARES = (
    Column("", "Number", "Each box has its own", _numbers, characters=7),
    typed("name", 20, of=Spare),
    typed("count", 6, of=Spare, is_figure=True),
    Column("", "Part", "Which part it is", _part, characters=30),
    typed("where", 16, of=Spare),
    typed("plug", 20, of=Spare),
    typed("profile", 13, of=Spare),
    typed("start_fraction", 7, of=Spare, is_figure=True),
)


class SparesModel(RecordsModel):
    """The spares of the group in the order of its file."""

    where = "spares"

    def name_of(self, row: int) -> str:
        """Return how sentences call a spare."""
        return f"spare {_numbers(self.result(row), False)}"

    def result(self, row: int) -> Listed:
        """Return a spare with its numbers."""
        group = self.document.group
        return Listed(group.spares[row], tuple(numbers_of(group)[row]))


class SparesPart(EditingPart):
    """A table of spares, and under it who gets which. ``said`` carries remarks for the foot."""

    def __init__(
        self, document: GroupDocument, display: Display, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, parent)
        self.model = SparesModel(document, display, SPARES, self)
        self.table = RecordsTable("spares", self.model)
        self.says, self.lines = sentence_label(), sentence_label()
        self.slot, self.post = QComboBox(), QComboBox()
        self.slot.addItems(list(SPARE_SLOTS))
        self.slot.setAccessibleName("which part")
        self.post.setAccessibleName("like that of which post")
        self.add_button = QPushButton("&Add a spare like it")
        self.remove_button = QPushButton("Re&move the spare")
        buttons = QWidget()
        line = FlowLayout(buttons)
        for widget in (self.slot, sentence_label("of"), self.post, self.add_button):
            line.addWidget(widget)
        line.addWidget(self.remove_button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.says)
        whole.addWidget(buttons)
        whole.addWidget(heading("Allotted"))
        whole.addWidget(self.lines)
        whole.addWidget(sentence_label(CAUTION))
        self.setFocusProxy(self.table)
        self.model.dataChanged.connect(self._tell)
        self.add_button.clicked.connect(self._on_add)
        self.remove_button.clicked.connect(self._on_remove)
        self.follow()

    def follow(self) -> None:
        """Show what the document holds."""
        group = self._document.group
        self.model.follow()
        at = max(self.post.currentIndex(), 0)
        self.post.clear()
        self.post.addItems([f"post {post.kit}" for post in group.posts])
        self.post.setCurrentIndex(min(at, len(group.posts) - 1))
        self.remove_button.setEnabled(bool(group.spares))
        self._tell()

    def show_allotment(self, result: GroupResult, found: Allotment) -> None:
        """Show who gets which spare."""
        self.lines.setText("\n".join((*spares_words(result, found), ORDER_MEANS)))

    def _tell(self) -> None:
        words = self.model.refusals or ([] if self._document.group.spares else [NO_SPARES])
        self.says.setText("\n".join(words))
        self.says.setVisible(bool(words))

    def _on_add(self) -> None:
        slot: SpareSlot = SPARE_SLOTS[self.slot.currentIndex()]
        at, whole = self.post.currentIndex(), self._document.whole
        if self.change("new spare", lambda _: with_spare_like(whole, at, slot)):
            self.table.choose(self.model.rowCount() - 1, 1)

    def _on_remove(self) -> None:
        at = self.table.row
        name = self.model.name_of(at)
        if self.change(f"removal of {name}", lambda group: without_spare(group, at)):
            self.said.emit(f"{name.capitalize()} is removed; undo brings it back")
