"""The drill: posts, parts and spares are taken away, and the group is run again."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.pages.group.columns import end_text
from app.widgets.chosen_rows import ChosenTree
from app.widgets.labels import sentence_label
from app.widgets.plain_table import PlainTable
from model.group.drill import Drill, parts_of
from model.group.group_run import PostRun
from model.group.group_words import drill_words
from model.group.kits import LoadedGroup, kits_of
from model.group.spares import Allotment

READ = "Tick what is taken away: a post, a part of it, or a spare. The rest is run again."
NAME = Qt.ItemDataRole.UserRole


class DrillPart(QWidget):
    """What can be taken away at the left, what comes of it at the right.

    ``wanted`` says that something else is taken away.
    """

    wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.tree = ChosenTree()
        self.tree.setHeaderHidden(True)
        self.tree.setAccessibleName("what is taken away")
        self.back_button = QPushButton("Put &all back")
        self.says = sentence_label(READ)
        self.table = PlainTable("after the drill", words=(0, 1, 2, 3), wide=(2, 3))
        left = QVBoxLayout()
        left.addWidget(self.tree, 1)
        left.addWidget(self.back_button)
        right = QVBoxLayout()
        right.addWidget(self.says)
        right.addWidget(self.table)
        right.addStretch(1)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.addLayout(left, 1)
        whole.addLayout(right, 2)
        self.setFocusProxy(self.tree)
        self.tree.itemChanged.connect(self._on_changed)
        self.back_button.clicked.connect(self._on_back)

    @property
    def without(self) -> tuple[str, ...]:
        """What is taken away, as a drill names it; a post that goes takes its parts along."""
        found = []
        for item in self._items():
            above = item.parent()
            is_covered = above is not None and above.checkState(0) == Qt.CheckState.Checked
            if item.checkState(0) == Qt.CheckState.Checked and not is_covered:
                found.append(str(item.data(0, NAME)))
        return tuple(found)

    def show_group(self, whole: LoadedGroup) -> None:
        """Show what there is; what was taken away stays so where it is still there."""
        self._fill(whole, frozenset(self.without))

    def take(self, whole: LoadedGroup, names: tuple[str, ...]) -> None:
        """Take these away, and nothing else."""
        self._fill(whole, frozenset(names))
        self.wanted.emit()

    def show_drill(self, found: Drill | None) -> None:
        """Show what became of the posts; nothing while nothing is taken away."""
        if found is None:
            self.says.setText(READ)
            self.table.hide()
            return
        self.says.setText("\n".join(drill_words(found)))
        before = {row.kit.post.kit: row for row in found.before.posts}
        rows = []
        for row in found.result.posts:
            post = row.kit.post
            was = _with_spare(before[post.kit], found.spares_before)
            rows.append([post.kit, post.role, was, _with_spare(row, found.spares)])
        self.table.show_rows(["Kit", "Role", "First end before", "First end after the drill"], rows)

    def _fill(self, whole: LoadedGroup, taken: frozenset[str]) -> None:
        self.tree.blockSignals(True)
        self.tree.clear()
        for kit in kits_of(whole):
            name = f"post{kit.post.kit}"
            top = self._item(f"post {kit.post.kit}, {kit.post.role}", name, taken)
            self.tree.addTopLevelItem(top)
            for part in parts_of(kit):
                top.addChild(self._item(part.replace(".", " "), f"{name}.{part}", taken))
            top.setExpanded(any(each.startswith(f"{name}.") for each in taken))
        number = 1
        for spare in whole.group.spares:
            for _ in range(spare.count):
                words = f"spare {number}, {spare.name or spare.slot}"
                self.tree.addTopLevelItem(self._item(words, f"spare{number}", taken))
                number += 1
        self.tree.blockSignals(False)

    def _item(self, words: str, name: str, taken: frozenset[str]) -> QTreeWidgetItem:
        item = QTreeWidgetItem([words])
        item.setData(0, NAME, name)
        item.setCheckState(0, Qt.CheckState.Checked if name in taken else Qt.CheckState.Unchecked)
        return item

    def _items(self) -> list[QTreeWidgetItem]:
        tops = [self.tree.topLevelItem(at) for at in range(self.tree.topLevelItemCount())]
        found = []
        for top in tops:
            if top is not None:
                found += [top, *(top.child(at) for at in range(top.childCount()))]
        return found

    def _on_changed(self) -> None:
        self.wanted.emit()

    def _on_back(self) -> None:
        self.tree.blockSignals(True)
        for item in self._items():
            item.setCheckState(0, Qt.CheckState.Unchecked)
        self.tree.blockSignals(False)
        self.wanted.emit()


def _with_spare(row: PostRun, spares: Allotment) -> str:
    lasts = row.kit.post.kit in spares.lasting and not row.lasts
    return f"{end_text(row)}; with its spare it lasts" if lasts else end_text(row)
