"""Labels: plain text, wrapped, selectable, and headings."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QLabel


def sentence_label(text: str = "") -> QLabel:
    """Return a label for sentences, shown as they stand; they can be copied."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label


def heading(text: str) -> QLabel:
    """Return a heading."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    font = QFont(label.font())
    font.setBold(True)
    label.setFont(font)
    return label
