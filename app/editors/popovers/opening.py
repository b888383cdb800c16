"""The one way to open what a cell needs more room for."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from app.editors.fields.number import can_have_source
from app.editors.popovers.field_popover import Sheet, open_sheet
from app.editors.popovers.list_sheet import ListSheet
from app.editors.popovers.parts_sheet import PartsSheet
from app.editors.popovers.rows_sheet import RowsSheet
from app.editors.popovers.source_sheet import SourceSheet
from app.state.edit_context import Desk
from app.widgets.popover import Popover
from model.editing.field_facts import field_at
from model.library.catalogue import Library

ROWS = ("points", "hours", "shade")


def open_popover(
    desk: Desk, path: str, station: int, anchor: QRect, parent: QWidget
) -> Popover | None:
    """Open the popover of a field over a place on the screen; None where it needs none.

    Rows open for key-down points, hours and shade; the source for any number that has one. All
    that is done in it is one undo step, seen at once; Return and a click elsewhere keep it, Escape
    takes it back.

    Parameters
    ----------
    path : of the field, whole or from the station on, such as ``radio.key_down``.
    station : the station, from 0, where the path does not say.
    anchor : what it is about, in the pixels of the screen.
    parent : what the keyboard comes from, and goes back to.
    """
    if not path.startswith("stations."):
        path = f"stations.{station}.{path}"
    sheet = _sheet_for(desk, path)
    return None if sheet is None else open_sheet(sheet, anchor, parent)


def open_list(desk: Desk, library: Library, path: str, anchor: QRect, parent: QWidget) -> Popover:
    """Open the leads, chargers or extras of a station as a list with a form; see `open_library`."""
    return open_sheet(ListSheet(desk, path, library), anchor, parent, beside=True)


def open_library(
    desk: Desk, library: Library, path: str, anchor: QRect, parent: QWidget
) -> Popover:
    """Open the parts of the library for a slot, for an entry of a list, or for one more of it.

    Each part that is chosen is tried at once; Return keeps the last, Escape takes it back. It
    stands to the right of its place where there is room, so that the results stay in sight.

    Parameters
    ----------
    path : of the slot, of the entry, or of the list.
    anchor : what it is about, in the pixels of the screen.
    parent : what the keyboard comes from, and goes back to.
    """
    return open_sheet(PartsSheet(desk, path, library), anchor, parent, beside=True)


def _sheet_for(desk: Desk, path: str) -> Sheet | None:
    if field_at(path).kind in ROWS:
        return RowsSheet(desk, path)
    if field_at(path).kind in ("number", "whole") and can_have_source(path):
        return SourceSheet(desk, path)
    return None
