"""Editors that need no typing: one of a few words, and yes or no."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QSizePolicy, QWidget

from app.editors.fields.editor import FieldEditor, plain_tip
from app.editors.fields.words import tip_of, word_of
from app.state.edit_context import Desk

TIP_ROLE = Qt.ItemDataRole.ToolTipRole


class QuietCombo(QComboBox):
    """A choice that the mouse wheel does not change in passing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


def explain_last(combo: QComboBox, tip: str) -> None:
    """Say under the pointer what the last choice of a list means."""
    combo.setItemData(combo.count() - 1, plain_tip(tip) if tip else "", TIP_ROLE)
    combo.setItemData(combo.count() - 1, tip, Qt.ItemDataRole.AccessibleDescriptionRole)


class ChoiceEditor(FieldEditor):
    """One of a few words."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self.edit = QuietCombo()
        for item in self.facts.choices:
            self.edit.addItem(word_of(item), item)
            explain_last(self.edit, tip_of(path, item))
        self.line.addWidget(self.edit)
        self.use_as_editor(self.edit)
        self.edit.activated.connect(self._on_activated)

    def show_value(self, value: Any) -> None:
        self.edit.setCurrentIndex(self.facts.choices.index(value))

    def _on_activated(self, index: int) -> None:
        if not self.write(self.facts.choices[index]):
            self.refresh()
        self.desk.document.end_burst()


class FlagEditor(FieldEditor):
    """Yes or no; the label is the box's own."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self.edit = QCheckBox(self.facts.label)
        self.label.hide()
        self.line.addWidget(self.edit)
        self.line.addStretch(1)
        self.use_as_editor(self.edit)
        if self.facts.help:
            self.edit.setToolTip(plain_tip(self.facts.help))
        self.edit.clicked.connect(self._on_clicked)

    def show_value(self, value: Any) -> None:
        self.edit.setChecked(bool(value))

    def _on_clicked(self, is_checked: bool) -> None:
        if not self.write(is_checked):
            self.refresh()
        self.desk.document.end_burst()
