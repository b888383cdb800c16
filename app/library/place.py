"""Where the person's own library lies."""

from __future__ import annotations

from pathlib import Path

import platformdirs

from app.library.shelf import Shelf
from app.resources import resource
from model.library.catalogue import Library
from model.library.store import load


def own_folder() -> Path:
    """Return the folder of this person's parts, whether it is there yet or not."""
    return platformdirs.user_data_path("Counterpoise", appauthor=False) / "parts"


def own_shelf() -> Shelf:
    """Return the person's library, filled with the starter parts on first use."""
    return Shelf(own_folder(), resource("assets/parts"))


def own_library() -> Library:
    """Return this person's parts; those that came with it where none make a station."""
    own = own_shelf().library
    return own if own.of("radio") and own.of("battery") else load(resource("assets/parts"))
