"""The person's own library: the value, its folder, and how to undo."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QLockFile, QObject, QTimer, Signal

from app.state.backups import Backup, Backups, words_of_time
from app.state.loose import LooseEnds
from app.work.answered import Answered
from app.work.disk import Asked, disk
from model.editing.faults import Fault, ScenarioError
from model.files.atomic_write import reason_of
from model.files.scenario_file import SaveError, read_bytes
from model.library.catalogue import Kind, Library, LibraryError, kind_of
from model.library.merge import Merged, base_of, changes_of, merged
from model.library.new_station import new_part
from model.library.store import FILE_NAMES, load_what_holds, parse_parts, save, seed
from model.scenario.station import Part

QUIET_MS = 800
LOCK_WAIT_MS = 2000
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
        self._library, self.faults = read_shelf(folder, starter)
        # What the folder holds as far as is known: changes are told by it.
        self._base = self._library
        self._loose: LooseEnds | None = None
        self.saver = Saver(folder)
        self._answered = Answered(self)
        self._before: list[tuple[str, Library]] = []
        self._merge_key = ""
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self.save)

    def keep_in(self, loose: LooseEnds) -> None:
        """Keep changes among the loose ends until the folder has them."""
        self._loose = loose

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
            self.refused.emit(f"{_sentence(error)} None of these was put in.")
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

    def versions(self) -> list[Version]:
        """Return the versions of each kind that saves have replaced, the newest first."""
        try:
            return disk.get(self.saver.versions)
        except OSError:
            return []

    def go_back_to(self, version: Version) -> None:
        """Bring the parts of one kind back as they were, as one step that can be undone."""
        others = [part for part in self._library.parts if kind_of(part) != version.kind]
        words = f"return to the version of {words_of_time(version.backup)}"
        self._set(words, Library((*others, *(version.parts or ()))))

    def end_burst(self) -> None:
        """Let the next change of the same part be a step of its own."""
        self._merge_key = ""

    def save(self) -> None:
        """Save what changed, together with what other windows have saved since; do not wait."""
        self._answered.then(self._asked(), self._on_written, self._library)

    def close(self) -> None:
        """Save what waits to be saved."""
        if not self._quiet.isActive() and self._library == self._base:
            return
        ours = self._library
        try:
            done: Merged | str = disk.wait(self._asked())
        except OSError as error:
            done = reason_of(error)
        self._answered.look()
        self._answered.forget()
        self._on_written(ours, done)

    def _asked(self) -> Asked[Merged | str]:
        self._quiet.stop()
        return disk.ask(partial(self.saver.write, self._base, self._library))

    def _on_written(self, ours: Library, done: Merged | str) -> None:
        if isinstance(done, str):
            self.save_failed.emit(f"Your library could not be saved: {done}")
            return
        self._base = done.library
        if done.library != ours:
            # Others have changed it, and something may have been typed here meanwhile.
            self._library = merged(ours, self._library, done.library).library
            self.library_changed.emit()
        self._keep_loose()
        for remark in done.remarks:
            self.refused.emit(f"{remark}.")

    def _keep_loose(self) -> None:
        if self._loose is not None:
            self._loose.set_parts(changes_of(self._base, self._library))

    def _set(self, words: str, library: Library, merge_key: str = "") -> None:
        if library == self._library:
            return
        if not merge_key or merge_key != self._merge_key:
            self._before = [*self._before[-UNDO_LIMIT + 1 :], (words, self._library)]
        self._merge_key = merge_key
        self._library = library
        self._told()

    def _told(self) -> None:
        self._keep_loose()
        self._quiet.start()
        self.library_changed.emit()


@dataclass(frozen=True)
class Version:
    """The parts of one kind as a save found them; None where they cannot be read."""

    kind: Kind
    backup: Backup
    parts: tuple[Part, ...] | None


class Saver:
    """Writes one library; all of it runs on the disk's thread, one call after the other."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.backups = Backups()
        # The base of a save that failed, and what it was to write.
        self._tried: tuple[Library, Library] | None = None

    def write(self, base: Library, ours: Library) -> Merged | str:
        """Merge, keep the version before, and write; return why that failed, or what was merged."""
        try:
            done = save_merged(self._folder, partial(self._merge, base, ours), self.backups)
        except (OSError, SaveError, ScenarioError, LibraryError) as error:
            return reason_of(error) if isinstance(error, OSError) else str(error)
        self._tried = None
        return done

    def versions(self) -> list[Version]:
        """Return what the versions kept hold, by kind, the newest first."""
        return [
            Version(kind, backup, _parts_in(backup.path, kind))
            for kind, name in FILE_NAMES.items()
            for backup in self.backups.of(self._folder / name)
        ]

    def _merge(self, base: Library, ours: Library, theirs: Library) -> Merged:
        """Merge; what a save that failed had written already is nobody else's change."""
        if self._tried is not None:
            base = base_of(*self._tried, theirs)
        done = merged(base, ours, theirs)
        self._tried = (base, done.library)
        return done


def _parts_in(path: Path, kind: Kind) -> tuple[Part, ...] | None:
    try:
        return Library(parse_parts(read_bytes(path)).parts).of(kind)
    except ScenarioError:
        return None


def read_shelf(folder: Path, starter: Path) -> tuple[Library, tuple[Fault, ...]]:
    """Return the parts of a folder, filled on first use, and what is wrong with it.

    Without one, those are the starter parts.
    """
    try:
        return disk.get(lambda: _read(folder, starter))
    except (OSError, SaveError, ScenarioError) as error:
        why = reason_of(error) if isinstance(error, OSError) else str(error)
        return starter_or_built_in(starter), (Fault("", f"your library cannot be saved: {why}"),)


def _read(folder: Path, starter: Path) -> tuple[Library, tuple[Fault, ...]]:
    seed(starter, folder)
    return load_what_holds(folder)


def starter_or_built_in(starter: Path) -> Library:
    """Return the parts that came with the program; should they be damaged, the least there are."""
    try:
        library, _ = disk.get(lambda: load_what_holds(starter))
    except (OSError, ScenarioError):
        library = Library()
    if library.of("radio") and library.of("battery"):
        return library
    return Library((new_part("radio"), new_part("battery")))


def save_merged(folder: Path, merge: Callable[[Library], Merged], backups: Backups) -> Merged:
    """Save what a merge makes of the library in a folder, its files kept as versions before.

    One window does so at a time; raises OSError, SaveError, ScenarioError or LibraryError.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    lock = QLockFile(str(folder.with_name(f"{folder.name}.lock")))
    if not lock.tryLock(LOCK_WAIT_MS):
        raise SaveError("another window is saving it, or its folder takes no file")
    try:
        # Parts that cannot be read now are not parts that somebody has deleted.
        theirs, _ = load_what_holds(folder, needs_every_file=True)
        done = merge(theirs)
        now = datetime.now(UTC)
        for kind, name in FILE_NAMES.items():
            if theirs.of(kind) != done.library.of(kind):
                backups.keep(folder / name, now)
        save(done.library, folder)
    finally:
        lock.unlock()
    return done


def _sentence(error: LibraryError) -> str:
    return f"{str(error)[:1].upper()}{str(error)[1:]}."
