"""The one state of a group's window: the group, the kits it names, its file, and how to undo."""

from __future__ import annotations

from itertools import chain, count
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from app.state.document import UNDO_LIMIT, digest_of, is_changed
from app.work.disk import absolute, disk, is_wanted, reading, saving
from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError, shown_name
from model.files.scenario_file import dump_scenario, read_bytes, write_text
from model.group.edit_plan import new_group
from model.group.group import Group
from model.group.group_file import dump_group, joined, loaded, open_group
from model.group.kits import LoadedGroup
from model.scenario.scenario import Scenario


class GroupDocument(QObject):
    """Owns the current group; every change passes here and makes a new one."""

    changed = Signal()
    file_changed = Signal()

    def __init__(self, whole: LoadedGroup, path: Path, data: bytes) -> None:
        super().__init__()
        self._whole = whole
        self._scenarios: dict[str, Scenario] = dict(whole.scenarios)
        self._path = path
        self._on_disk = digest_of(data)
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(UNDO_LIMIT)
        self.undo_stack.cleanChanged.connect(self.file_changed)

    @property
    def whole(self) -> LoadedGroup:
        """The group with its kits as it is now."""
        return self._whole

    @property
    def group(self) -> Group:
        """The group as it is now."""
        return self._whole.group

    @property
    def path(self) -> Path:
        """The file it came from or was last saved to."""
        return self._path

    @property
    def is_clean(self) -> bool:
        """Whether the file holds the group as it is."""
        return self.undo_stack.isClean()

    def put(self, text: str, group: Group) -> None:
        """Make another group the current one, as one undo step.

        Raises
        ------
        ScenarioError
            When a file it names cannot be read, or does not fit; nothing has changed then.
        """
        if group == self.group:
            return
        self._fit(group)
        self.undo_stack.push(_Change(self, text, self.group, group))

    def read_kits_again(self) -> None:
        """Take over what the files of the kits hold by now.

        Raises
        ------
        ScenarioError
            When one cannot be read or does not fit any more; the kits stay as they were then.
        """
        folder, group = self._path.parent, self.group
        whole = reading(lambda _: loaded(group, folder), self._path)
        if whole == self._whole:
            return
        self._scenarios |= dict(whole.scenarios)
        self._whole = whole
        self.changed.emit()

    def kit_file(self, index: int) -> Path:
        """Return the file that holds the kit of a post."""
        return self._path.parent / self.group.posts[index].scenario

    def is_changed_on_disk(self) -> bool:
        """Whether something else has written the file since it was opened or saved."""
        path, on_disk = self._path, self._on_disk
        try:
            return disk.get(lambda: is_changed(path, on_disk))
        except OSError:
            # Nobody can tell; saving says what is wrong.
            return False

    def save(self, path: Path) -> None:
        """Save to a file; kits that do not lie beside it yet are written there too.

        Raises
        ------
        SaveError
            When that fails; the group is not saved then.
        """
        path, group = absolute(path), self.group
        text = dump_group(group)
        kits = {name: dump_scenario(scenario) for name, scenario in self._whole.scenarios}
        is_elsewhere = path.parent != self._path.parent

        def write() -> None:
            for name, kit in kits.items() if is_elsewhere else ():
                beside = path.parent / name
                if not beside.exists():
                    beside.parent.mkdir(parents=True, exist_ok=True)
                    write_text(kit, beside, is_wanted)
            write_text(text, path, is_wanted)

        saving(write, path)
        if group is not self.group:
            # The disk was slow, and what was typed before it hung counts as typed after.
            raise SaveError(f"{shown_name(path)}: the group changed while it was saved")
        self._path, self._on_disk = path, digest_of(text.encode())
        self.undo_stack.setClean()
        self.file_changed.emit()
        if is_elsewhere:
            self._read_beside(path)

    def _read_beside(self, path: Path) -> None:
        """Take over kits that lay there before under the same names."""
        try:
            self.read_kits_again()
        except ScenarioError as error:
            raise SaveError(f"{shown_name(path)}: saved, but {error.faults[0]}") from None

    def _fit(self, group: Group) -> LoadedGroup:
        """Return the group with its kits, read where they are not known yet."""
        if all(post.scenario in self._scenarios for post in group.posts):
            return joined(group, self._scenarios)
        folder = self._path.parent
        whole = reading(lambda _: loaded(group, folder), self._path)
        self._scenarios |= dict(whole.scenarios)
        return whole

    def _set(self, group: Group) -> None:
        self._whole = joined(group, self._scenarios)
        self.changed.emit()


def opened(path: Path) -> GroupDocument:
    """Open the file of a group; raises ScenarioError with every fault."""
    path = absolute(path)
    data = reading(read_bytes, path)
    # What a group names is read on the disk's thread too.
    whole = reading(lambda at: open_group(data, at.parent), path)
    return GroupDocument(whole, path, data)


def begun(path: Path, source: Path, scenario: Scenario) -> None:
    """Save a new group: a post for each station of a scenario.

    Parameters
    ----------
    path : where to save the group; the scenario's file is written beside it where it is not.
    source : the scenario's file.

    Raises
    ------
    SaveError
        When that fails.
    """
    path, source = absolute(path), absolute(source)
    if path == source:
        raise SaveError(f"{shown_name(path)}: holds the scenario itself; choose another name")

    def write() -> None:
        name = source.name if path.parent == source.parent else _free(path, source)
        text = dump_group(new_group(scenario, name))
        if path.parent != source.parent:
            write_text(dump_scenario(scenario), path.parent / name, is_wanted)
        write_text(text, path, is_wanted)

    try:
        saving(write, path)
    except ScenarioError as error:
        raise SaveError(f"{shown_name(path)}: {error.faults[0]}") from None


def _free(path: Path, source: Path) -> str:
    """Return a name beside a file that neither it nor any other file there has."""
    numbered = (f"{source.stem}-{number}{source.suffix}" for number in count(2))
    beside = (path.with_name(name) for name in chain((source.name,), numbered))
    return next(each.name for each in beside if each != path and not each.exists())


class _Change(QUndoCommand):
    """From one group to another; both share all that did not change."""

    def __init__(self, document: GroupDocument, text: str, before: Group, after: Group) -> None:
        super().__init__(text)
        self._document = document
        self._before, self._after = before, after

    def redo(self) -> None:
        self._document._set(self._after)  # noqa: SLF001

    def undo(self) -> None:
        self._document._set(self._before)  # noqa: SLF001
