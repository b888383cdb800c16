"""The day as a picture: on the clipboard, or in a file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.pages.view import Around
from app.widgets import dialogs
from model.files.atomic_write import SaveError


class DayPicture(QObject):
    """Takes pictures of the day that the window shows."""

    def __init__(self, window: QWidget, around: Around) -> None:
        super().__init__(window)
        self._window, self._around = window, around

    def copy(self) -> None:
        """Put the picture on the clipboard."""
        self._around.day.copy_image()
        self._around.say("Picture of the day copied")

    def take(self, ending: str) -> None:
        """Save the picture with an ending, png or svg; without one put it on the clipboard."""
        if ending:
            self.save(ending)
        else:
            self.copy()

    def save(self, ending: str | bool = "png") -> None:
        """Ask where, and save the picture in dots or in lines."""
        # A menu's command comes with whether it is checked.
        ending = ending or "png"
        path = self._around.document.path
        folder = path.parent if path else Path.home()
        name = f"{path.stem}-day.{ending}" if path else f"day.{ending}"
        target = dialogs.ask_for_export(self._window, str(folder / name), dialogs.PICTURE_FILES)
        if target is None:
            return
        is_lines = target.suffix.casefold() == ".svg"
        day = self._around.day
        try:
            (day.save_svg if is_lines else day.save_png)(target)
        except SaveError as error:
            dialogs.tell(self._window, "The picture was not saved", str(error))
        else:
            self._around.say(f"Picture of the day saved to {target}")
