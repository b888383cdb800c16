"""Every command of the window in one table: what it is called, its shortcut, and what it does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget


@dataclass(frozen=True)
class Command:
    """One command; ``menu`` says where it stands."""

    key: str
    menu: str
    text: str
    shortcut: str
    tip: str
    is_toggle: bool = False


COMMANDS = (
    Command(
        "file.new",
        "&File",
        "&New",
        "Ctrl+N",
        "A kit to begin with, at your home place",
    ),
    Command("file.open", "&File", "&Open…", "Ctrl+O", "Open a scenario file"),
    Command(
        "file.group",
        "&File",
        "Open &group…",
        "Ctrl+G",
        "Many kits, spares, who can power whom; in a window of its own",
    ),
    Command(
        "file.new_group",
        "&File",
        "Ne&w group…",
        "Ctrl+Shift+G",
        "A post for each station of this scenario; in a window of its own",
    ),
    Command("file.save", "&File", "&Save", "Ctrl+S", "Save the scenario"),
    Command("file.save_as", "&File", "Save &as…", "Ctrl+Shift+S", "Save under another name"),
    Command(
        "file.picture",
        "&File",
        "Save a &picture of the day…",
        "Ctrl+Shift+P",
        "The plot as PNG or SVG",
    ),
    Command(
        "file.print",
        "&File",
        "Prin&t the kit page…",
        "Ctrl+P",
        "The pages to print, check and sign",
    ),
    Command("file.quit", "&File", "&Quit", "Ctrl+Q", "Close the window"),
    Command("edit.undo", "&Edit", "&Undo", "Ctrl+Z", "Undo the last change"),
    Command("edit.redo", "&Edit", "&Redo", "Ctrl+Shift+Z", "Redo the change"),
    Command(
        "edit.match_power",
        "&Edit",
        "&Same RF power",
        "Ctrl+M",
        "Let the plan ask for no more than every station can give",
    ),
    Command(
        "edit.picture",
        "&Edit",
        "&Copy a picture of the day",
        "Ctrl+Shift+C",
        "Put the plot on the clipboard",
    ),
    Command(
        "station.add",
        "&Station",
        "&Add a station",
        "Ctrl+Shift+N",
        "Another station to compare, up to four",
    ),
    Command(
        "station.duplicate",
        "&Station",
        "&Duplicate",
        "Ctrl+D",
        "Copy the station the keyboard is in",
    ),
    Command(
        "station.left",
        "&Station",
        "Move to the &left",
        "Ctrl+Shift+Left",
        "Move the station the keyboard is in",
    ),
    Command(
        "station.right",
        "&Station",
        "Move to the &right",
        "Ctrl+Shift+Right",
        "Move the station the keyboard is in",
    ),
    Command(
        "station.remove",
        "&Station",
        "Re&move",
        "Ctrl+Shift+Delete",
        "Remove the station the keyboard is in",
    ),
    Command(
        "station.library",
        "&Station",
        "&Parts library",
        "Ctrl+L",
        "Browse and edit your parts; put them into a station, save them from one",
    ),
    Command("lens.day", "&Go", "&Day", "Ctrl+1", "Who ends first, when and why"),
    Command("lens.odds", "&Go", "&Odds", "Ctrl+2", "How uncertain the end times are"),
    Command(
        "lens.size", "&Go", "Si&ze", "Ctrl+3", "The smallest battery and panel that meet the plan"
    ),
    Command("lens.wiring", "&Go", "&Wiring", "Ctrl+4", "Where voltage is lost, and the fixes"),
    Command("lens.signal", "&Go", "S&ignal", "Ctrl+5", "Signal, its cost, and RF exposure"),
    Command("lens.page", "&Go", "Pa&ge", "Ctrl+6", "The pages to print, check and sign"),
    Command("lens.field", "&Go", "&Field", "Ctrl+7", "Bench readings, and the log of the trip"),
    Command("view.class", "&View", "&Class", "F5", "Lessons for a group: predict, then reveal"),
    Command("go.place", "&Go", "&Place and day", "F2", "Move the keyboard to place and day"),
    Command("go.plan", "&Go", "P&lan", "F3", "Move the keyboard to the plan"),
    Command("go.stations", "&Go", "&Stations", "F4", "Move the keyboard to the stations"),
    Command("go.day", "&Go", "&Curves of the day", "F6", "Move the keyboard to the curves"),
    Command("go.table", "&Go", "&Results", "F7", "Move the keyboard to the results"),
    Command("go.findings", "&Go", "Fi&ndings", "F8", "Move the keyboard to the findings"),
    Command(
        "view.us",
        "&View",
        "&US units",
        "Ctrl+U",
        "Pounds, feet, °F and AWG",
        is_toggle=True,
    ),
    Command(
        "view.band",
        "&View",
        "Uncertainty &band",
        "Ctrl+B",
        "Where the charge lies in 8 of 10 trial trips",
        is_toggle=True,
    ),
    Command("view.larger", "&View", "&Larger text", "Ctrl++", "Up to twice the usual size"),
    Command("view.smaller", "&View", "&Smaller text", "Ctrl+-", "Down to four fifths"),
    Command("view.usual", "&View", "Usual text si&ze", "Ctrl+0", "The size the system asks for"),
    Command("view.full", "&View", "&Full screen", "F11", "For a projector", is_toggle=True),
    Command("help.guide", "&Help", "&Guide", "F1", "What the program does and how to use it"),
    Command("help.keys", "&Help", "&Keys", "Ctrl+F1", "Every shortcut, and the keys of the curves"),
    Command("help.about", "&Help", "&About", "Ctrl+Shift+F1", "Version, and what to rely on"),
)
MENUS = ("&File", "&Edit", "&Station", "&Go", "&View", "&Help")
ENDS_A_GROUP = {
    "file.save_as", "file.print", "edit.redo", "edit.match_power", "station.add",
    "station.remove", "lens.field", "go.stations", "view.class", "view.us", "view.band",
    "view.usual", "help.keys",
}  # fmt: skip


class Actions:
    """The window's actions by key, and its menus by title."""

    def __init__(
        self, window: QWidget, bar: QMenuBar, slots: dict[str, Callable[..., object]]
    ) -> None:
        self.by_key: dict[str, QAction] = {}
        self.menus: dict[str, QMenu] = {}
        for title in MENUS:
            menu = QMenu(title, window)
            bar.addMenu(menu)
            self.menus[title] = menu
        for command in COMMANDS:
            self._add(window, command, slots[command.key])

    def __getitem__(self, key: str) -> QAction:
        return self.by_key[key]

    def _add(self, window: QWidget, command: Command, slot: Callable[..., object]) -> None:
        action = QAction(command.text, window)
        action.setObjectName(command.key)
        action.setShortcut(QKeySequence(command.shortcut))
        tip = f"{command.tip} ({action.shortcut().toString()})"
        action.setToolTip(tip)
        action.setStatusTip(tip)
        action.setCheckable(command.is_toggle)
        (action.toggled if command.is_toggle else action.triggered).connect(slot)
        self.by_key[command.key] = action
        window.addAction(action)
        self.menus[command.menu].addAction(action)
        if command.key in ENDS_A_GROUP:
            self.menus[command.menu].addSeparator()
