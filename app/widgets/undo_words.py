"""The two commands of undo, named by what they would take back or do again."""

from __future__ import annotations

from PySide6.QtGui import QAction, QUndoStack


def name_undo(stack: QUndoStack, undo: QAction, redo: QAction) -> None:
    """Let both say what they would do, and be there only where they can."""
    for action, is_possible, text, words in (
        (undo, stack.canUndo(), stack.undoText(), "Undo"),
        (redo, stack.canRedo(), stack.redoText(), "Redo"),
    ):
        action.setEnabled(is_possible)
        action.setText(f"&{words} {text.replace('&', '&&')}".rstrip())
        action.setIconText(words)
