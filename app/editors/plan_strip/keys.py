"""The keys of the strip, and what is told of the plan to those who hear it."""

from __future__ import annotations

from PySide6.QtCore import Qt

from app.editors.plan_strip.words import spoken
from model.editing.edit_plan import Plan

KEYS = (
    "Tab and arrows choose a block, Ctrl and arrows move it, Shift with left and right its end,"
    " Shift with up and down its start. Delete removes it, S splits it, Ctrl+D copies it, Enter"
    " edits it, N adds one, the menu key offers all of it. With Alt by one minute instead of five."
)
STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1}
WISHES = {
    Qt.Key.Key_Delete: "delete", Qt.Key.Key_Backspace: "delete", Qt.Key.Key_S: "split",
    Qt.Key.Key_Return: "edit", Qt.Key.Key_Enter: "edit", Qt.Key.Key_F2: "edit",
    Qt.Key.Key_N: "add", Qt.Key.Key_Insert: "add",
}  # fmt: skip
# So many blocks are told one by one.
TOLD_LIMIT = 24


def told_plan(plan: Plan, chosen: int | None) -> str:
    """Return what is chosen, what the plan is, and the keys."""
    is_one = chosen is not None and chosen < len(plan)
    first = f"Chosen: {spoken(plan[chosen or 0])}." if is_one else "No block chosen."
    order = sorted(plan, key=lambda block: block.minutes)
    whole = "; ".join(spoken(block) for block in order[:TOLD_LIMIT]) or "empty"
    more = f"; and {len(order) - TOLD_LIMIT} more" if len(order) > TOLD_LIMIT else ""
    return f"{first} The plan: {whole}{more}. {KEYS}"
