"""Much of a window changes at once: it is laid out once at the end, not with each part."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QLayout, QScrollArea, QWidget


@contextmanager
def laid_out_once(widget: QWidget) -> Iterator[None]:
    """Hold the layouts of a widget, and of all it lies in, till the end of the block.

    A widget that comes to be seen otherwise has every layout around it worked out at once, for
    each such widget again. What a block around this one holds stays held.
    """
    if not widget.isVisible():
        yield
        return
    held = [each for each in _with_layouts(widget) if each[1].isEnabled()]
    for _, layout in held:
        layout.setEnabled(False)
    try:
        yield
    finally:
        _lay_out(held)


def _lay_out(held: list[tuple[QWidget, QLayout]]) -> None:
    """Lay out what was held, the outer before the inner: nothing has a size twice."""
    for widget, layout in held:
        layout.setEnabled(True)
        # A change of size that it slept through is to be made up for.
        layout.invalidate()
        widget.updateGeometry()
    for widget, layout in reversed(held):
        area = _area_of(widget)
        if area is not None:
            QCoreApplication.sendEvent(area, QEvent(QEvent.Type.LayoutRequest))
        layout.activate()


def _with_layouts(widget: QWidget) -> list[tuple[QWidget, QLayout]]:
    """Return the widget and all it lies in, where that has a layout; the inner come first."""
    found: list[tuple[QWidget, QLayout]] = []
    each: QWidget | None = widget
    while each is not None and not each.isWindow():
        layout = each.layout()
        if layout is not None:
            found.append((each, layout))
        each = each.parentWidget()
    return found


def _area_of(widget: QWidget) -> QScrollArea | None:
    """Return the area that a widget is the sheet of."""
    viewport = widget.parentWidget()
    area = viewport.parentWidget() if viewport is not None else None
    return area if isinstance(area, QScrollArea) and area.widget() is widget else None
