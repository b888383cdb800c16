"""A choice with its words before it, kept together where a line breaks."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget


def labelled(words: str, editor: QWidget) -> QWidget:
    """Return words and editor side by side; the words may carry a letter to reach it by."""
    pair = QWidget()
    line = QHBoxLayout(pair)
    line.setContentsMargins(0, 0, 0, 0)
    label = QLabel(words)
    label.setBuddy(editor)
    line.addWidget(label)
    line.addWidget(editor, 1)
    return pair
