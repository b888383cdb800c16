"""Lists and tables whose chosen row stands out more while the keyboard is in them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QColor, QFocusEvent, QPalette
from PySide6.QtWidgets import QAbstractItemView, QListWidget, QTableView, QTreeWidget

from app.widgets.tokens import tints

# What is mixed in must not be a widget of its own.
if TYPE_CHECKING:
    _View = QAbstractItemView
else:
    _View = object


class ChosenRows(_View):
    """To be named before the view: a frame in the colour of the chosen row would hardly show."""

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Brighten what is chosen."""
        own, palette = tints(), QPalette()
        palette.setColor(QPalette.ColorRole.Highlight, QColor(own.keyboard))
        palette.setColor(QPalette.ColorRole.HighlightedText, QColor(own.on_keyboard))
        self.setPalette(palette)
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Let it be as any other."""
        self.setPalette(QPalette())
        super().focusOutEvent(event)


class ChosenList(ChosenRows, QListWidget):
    """A list of words."""


class ChosenTree(ChosenRows, QTreeWidget):
    """A tree of words."""


class ChosenTable(ChosenRows, QTableView):
    """A table that is read."""
