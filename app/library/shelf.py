"""The person's own library: the value, its folder, and how to undo."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from model.editing.faults import Fault, ScenarioError
from model.files.scenario_file import SaveError
from model.library.catalogue import Library, LibraryError, kind_of
from model.library.store import load_what_holds, save, seed
from model.scenario.station import Part

QUIET_MS = 800
UNDO_LIMIT = 200


class Shelf(QObject):
    """Owns the library; every change passes here, can be undone, and is saved a moment later.

    ``refused`` tells why a change was not made.
    """

    library_changed = Signal()
    save_failed = Signal(str)
    refused = Signal(str)

    def __init__(self, folder: Path, starter: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self.faults: tuple[Fault, ...] = ()
        self._library = self._read(starter)
        self._before: list[tuple[str, Library]] = []
        self._merge_key = ""
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self.save)

    def _read(self, starter: Path) -> Library:
        """Read the folder, filled on first use; without one, go on with the starter parts."""
        try:
            seed(starter, self._folder)
            library, self.faults = load_what_holds(self._folder)
        except (OSError, SaveError, ScenarioError) as error:
            self.faults = (Fault("", f"your library cannot be saved: {error}"),)
            library, _ = load_what_holds(starter)
        return library

    @property
    def library(self) -> Library:
        """The parts as they are now."""
        return self._library

    @property
    def undo_words(self) -> str:
        """What undo would take back; empty where there is nothing."""
        return self._before[-1][0] if self._before else ""

    def add(self, part: Part) -> Part | None:
        """Put in a new part; return it under the name it got, None where it was refused."""
        try:
            grown = self._library.with_added(part)
        except LibraryError as error:
            self.refused.emit(_sentence(error))
            return None
        self._set(f"adding {part.name}", grown)
        return grown.parts[-1]

    def add_all(self, parts: Iterable[Part], *, replacing: bool) -> bool:
        """Put in parts as one step; those of a name held already replace it, or stand beside it.

        Return whether that was done: all of them, or none.
        """
        grown = self._library
        try:
            for part in parts:
                held = self.held(part)
                if held is not None and replacing:
                    grown = grown.with_replaced(held, part)
                else:
                    grown = grown.with_all((part,))
        except LibraryError as error:
            self.refused.emit(f"{_sentence(error)} None of these was imported.")
            return False
        self._set("adding parts", grown)
        return True

    def held(self, part: Part) -> Part | None:
        """Return the part of the same kind and name that the library holds."""
        try:
            return self._library.find(kind_of(part), part.name)
        except KeyError:
            return None

    def duplicate(self, part: Part) -> Part | None:
        """Put a copy right after a part; return the copy, None where it was refused."""
        try:
            grown = self._library.with_duplicate(part)
        except LibraryError as error:
            self.refused.emit(_sentence(error))
            return None
        self._set(f"copying {part.name}", grown)
        return grown.parts[grown.parts.index(part) + 1]

    def replace(self, old: Part, new: Part) -> str:
        """Change a part; return why it is refused, or nothing."""
        try:
            changed = self._library.with_replaced(old, new)
        except LibraryError as error:
            return _sentence(error)
        key = f"{kind_of(old)} {self._library.parts.index(old)}"
        self._set(f"changing {old.name}", changed, key)
        return ""

    def delete(self, part: Part) -> None:
        """Take a part out."""
        self._set(f"deleting {part.name}", self._library.without(part))

    def undo(self) -> None:
        """Take the last change back."""
        if self._before:
            _, self._library = self._before.pop()
            self._merge_key = ""
            self._told()

    def end_burst(self) -> None:
        """Let the next change of the same part be a step of its own."""
        self._merge_key = ""

    def save(self) -> None:
        """Save what changed; a failure is told and nothing is lost here."""
        self._quiet.stop()
        try:
            save(self._library, self._folder)
        except (OSError, SaveError, ScenarioError) as error:
            self.save_failed.emit(f"Your library could not be saved: {error}")

    def close(self) -> None:
        """Save what waits to be saved."""
        if self._quiet.isActive():
            self.save()

    def _set(self, words: str, library: Library, merge_key: str = "") -> None:
        if library == self._library:
            return
        if not merge_key or merge_key != self._merge_key:
            self._before = [*self._before[-UNDO_LIMIT + 1 :], (words, self._library)]
        self._merge_key = merge_key
        self._library = library
        self._told()

    def _told(self) -> None:
        self._quiet.start()
        self.library_changed.emit()


def _sentence(error: LibraryError) -> str:
    return f"{str(error)[:1].upper()}{str(error)[1:]}."
