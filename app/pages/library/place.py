"""Where the person's own library lies."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import platformdirs

from app.pages.library.shelf import Shelf, read_shelf, save_merged, starter_or_built_in
from app.resources import resource
from app.state.backups import Backups
from app.work.disk import disk
from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError
from model.library.catalogue import Library, LibraryError
from model.library.merge import PartChange, with_changes_of

STARTER = "assets/parts"


def own_folder() -> Path:
    """Return the folder of this person's parts, whether it is there yet or not."""
    return platformdirs.user_data_path("Counterpoise", appauthor=False) / "parts"


def own_shelf() -> Shelf:
    """Return the person's library, filled with the starter parts on first use."""
    return Shelf(own_folder(), _starter())


def own_library() -> tuple[Library, str]:
    """Return this person's parts, and in a sentence what is wrong with them.

    They are those that came with the program where their own make no station.
    """
    own, faults = read_shelf(own_folder(), _starter())
    said = f"In your library {faults[0]}" if faults else ""
    return (own if own.of("radio") and own.of("battery") else usual_library()), said


def usual_library() -> Library:
    """Return the parts that came with the program."""
    return starter_or_built_in(_starter())


def take_parts(changes: Iterable[PartChange]) -> bool:
    """Make changes in the library that a window now gone could not save; say whether they are."""
    listed = tuple(changes)
    try:
        disk.get(
            lambda: save_merged(
                own_folder(), lambda theirs: with_changes_of(theirs, listed), Backups()
            )
        )
    except (OSError, SaveError, ScenarioError, LibraryError):
        return False
    return True


def _starter() -> Path:
    try:
        return disk.get(lambda: resource(STARTER))
    except OSError:
        # Whatever is read there is not found, and said.
        return Path(STARTER)
