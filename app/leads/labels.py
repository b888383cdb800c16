"""Labels of this view: plain text, wrapped, and headings."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel


def sentence_label(text: str = "") -> QLabel:
    """Return a label for sentences, shown as they stand."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label


def heading(text: str) -> QLabel:
    """Return a heading."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    font = label.font()
    font.setBold(True)
    label.setFont(font)
    return label
