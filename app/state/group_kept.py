"""What is typed in a group and not saved yet, kept beside the settings until it is."""

from __future__ import annotations

import hashlib
import os
from functools import partial
from pathlib import Path

import platformdirs
from PySide6.QtCore import QObject, QTimer

from app.state.group_document import GroupDocument
from app.work.disk import Asked, disk
from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError
from model.files.scenario_file import read_bytes, write_text
from model.group.group import Group
from model.group.group_file import dump_group, open_group

QUIET_MS = 300


class KeptGroup(QObject):
    """Writes what is not saved to a copy of its own, and takes that away once it is saved.

    A program that dies loses nothing that was typed before the last ``QUIET_MS``.
    """

    def __init__(self, document: GroupDocument, folder: Path | None = None) -> None:
        super().__init__()
        self._document = document
        self._folder = folder or kept_folder()
        self._place = self._folder / kept_name(document.path)
        self._asked: Asked[None] | None = None
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self.keep_now)
        document.changed.connect(self._quiet.start)
        document.file_changed.connect(self._on_file_changed)

    def found(self) -> Group | None:
        """Return what a window now gone could not save of this file; None where there is none."""
        place, folder = self._place, self._document.path.parent
        try:
            whole = disk.get(lambda: open_group(read_bytes(place), folder))
        except (OSError, ScenarioError):
            return None
        return whole.group if whole.group != self._document.group else None

    def keep_now(self) -> None:
        """Write what is not saved; nobody waits for it."""
        self._quiet.stop()
        if self._document.is_clean:
            self._asked = disk.ask(partial(_take_away, self._place))
        else:
            text = dump_group(self._document.group)
            self._asked = disk.ask(partial(write_kept, text, self._place))

    def drop(self) -> None:
        """Take the copy away: what it held is saved, or nobody wants it."""
        self._quiet.stop()
        self._asked = disk.ask(partial(_take_away, self._place))

    def wait(self) -> None:
        """Wait until the copy is written or gone."""
        if self._asked is not None:
            disk.wait(self._asked)

    def _on_file_changed(self) -> None:
        place = self._folder / kept_name(self._document.path)
        if place != self._place:
            disk.ask(partial(_take_away, self._place))
            self._place = place
        self.keep_now()


def kept_folder() -> Path:
    """Return where copies of what is not saved lie."""
    return platformdirs.user_state_path("Counterpoise", appauthor=False) / "groups"


def kept_name(path: Path) -> str:
    """Return the name of the copy of a file."""
    return f"{hashlib.sha256(os.fsencode(path)).hexdigest()[:32]}.toml"


def write_kept(text: str, place: Path) -> None:
    """Write to a place beside the settings; without one, nothing is kept beyond the window."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        write_text(text, place)
    except (OSError, SaveError):
        return


def _take_away(place: Path) -> None:
    try:
        place.unlink(missing_ok=True)
    except OSError:
        return
