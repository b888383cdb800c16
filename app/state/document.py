"""The one state of the window: the scenario, its file, and how to undo."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QSignalBlocker, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from app.state.loose import LooseEnds
from app.work.disk import absolute, disk, is_wanted, reading, saving
from model.editing.faults import Fault, ScenarioError
from model.editing.field_facts import place_words
from model.editing.paths import with_value
from model.editing.variant_moves import following
from model.files.atomic_write import SaveError, shown_name, write_data
from model.files.migrate import is_old
from model.files.scenario_file import (
    dump_scenario,
    open_scenario,
    read_bytes,
    table_of,
    write_text,
)
from model.files.work_record import UndoStep, Work
from model.scenario.scenario import FORMAT, Scenario

UNDO_LIMIT = 500
QUIET_MS = 1000
UNSAVED_WORK = "opening of unsaved work"


@dataclass(frozen=True, eq=False)
class Step:
    """Edits at a path or below it that are to be undone together.

    ``text`` is what the step is called; without it, what the last of the edits is called.
    """

    text: str
    path: str
    key: str


class Document(QObject):
    """Owns the current scenario; every change passes here and makes a new one.

    ``begun`` tells that it is another scenario altogether, of which nothing is known yet.
    """

    scenario_changed = Signal()
    begun = Signal()
    file_changed = Signal()

    def __init__(self, scenario: Scenario, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._scenario = scenario
        self._kept = scenario
        self._path: Path | None = None
        self._on_disk = ""
        self._remarks: tuple[str, ...] = ()
        self._old = b""
        self._burst = 0
        self._step: Step | None = None
        self.loose = LooseEnds(self)
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(UNDO_LIMIT)
        self.undo_stack.cleanChanged.connect(self.file_changed)
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self.end_burst)

    @property
    def scenario(self) -> Scenario:
        """The scenario as it is now."""
        return self._scenario

    @property
    def kept(self) -> Scenario:
        """The scenario as it was begun with, opened or last saved."""
        return self._kept

    @property
    def path(self) -> Path | None:
        """The file it came from or was last saved to."""
        return self._path

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is answered differently from what the opened file's own format meant."""
        return self._remarks

    @property
    def is_clean(self) -> bool:
        """Whether the file holds the scenario as it is."""
        return self.undo_stack.isClean()

    def edit(self, path: str, value: Any, text: str = "") -> tuple[Fault, ...]:
        """Put a value at a path as one undo step; return the faults if it is refused."""
        try:
            changed = with_value(self._scenario, path, value)
        except ScenarioError as error:
            return error.faults
        self.replace(text or f"change of {place_words(path)}", changed, path)
        return ()

    def replace(self, text: str, scenario: Scenario, merge_key: str = "") -> None:
        """Make ``scenario`` the current one; edits with one key in one burst undo together.

        Its variants follow what was moved, added or removed.
        """
        scenario = following(self._scenario, scenario)
        if scenario == self._scenario:
            return
        step = self._step
        if step is not None and f"{merge_key}.".startswith(f"{step.path}."):
            words = step.text or text
            self.undo_stack.push(_Change(self, words, self._scenario, scenario, step.key))
            return
        key = f"{merge_key} {self._burst}" if merge_key else ""
        self.undo_stack.push(_Change(self, text, self._scenario, scenario, key))
        if merge_key:
            self._quiet.start()

    def end_burst(self) -> None:
        """Let the next edit be an undo step of its own, even of the same field."""
        self._quiet.stop()
        self._burst += 1

    def begin_step(self, text: str, path: str) -> Step:
        """Let all edits at a path or below it be one undo step, whatever pauses lie between."""
        self.end_burst()
        self._step = Step(text, path, f"step {self._burst}")
        return self._step

    def end_step(self, step: Step) -> None:
        """Let the next edit be an undo step of its own again."""
        if self._step is step:
            self._step = None
        self.end_burst()

    def take_back(self, step: Step) -> None:
        """Undo all edits of a step, as if they had never been; nothing if another came since."""
        last = self.undo_stack.command(self.undo_stack.index() - 1)
        if isinstance(last, _Change) and last.merge_key == step.key:
            self.undo_stack.push(_Change(self, step.text, self._scenario, last.before, step.key))

    def start(self, scenario: Scenario) -> None:
        """Begin with a scenario that has no file yet."""
        self._begin(scenario, None)

    def open(self, path: Path) -> None:
        """Open a file; raises ScenarioError, with every fault, when it holds no scenario."""
        path = absolute(path)
        data = reading(read_bytes, path)
        opened = open_scenario(data)
        self._begin(opened.scenario, path, digest_of(data))
        self._remarks = opened.remarks
        self._old = data if opened.format < FORMAT else b""

    def save(self, path: Path) -> None:
        """Save to a file; raises SaveError when that fails, and nothing has changed then."""
        path, scenario = absolute(path), self._scenario
        text = dump_scenario(scenario)
        if self._old and path == self._path:
            _keep_old(self._old, path)
        saving(lambda: write_text(text, path, is_wanted), path)
        if scenario is not self._scenario:
            # The disk was slow, and what was typed before it hung counts as typed after.
            raise SaveError(f"{shown_name(path)}: the scenario changed while it was saved")
        self._old = b""
        self._path, self._on_disk = path, digest_of(text.encode())
        self._kept = scenario
        self.end_burst()
        self.undo_stack.setClean()
        self.file_changed.emit()

    def is_changed_on_disk(self) -> bool:
        """Whether something else has written the file since it was opened or saved."""
        if self._path is None:
            return False
        path, on_disk = self._path, self._on_disk
        try:
            return disk.get(lambda: is_changed(path, on_disk))
        except OSError:
            # Nobody can tell; saving says what is wrong.
            return False

    @property
    def digest(self) -> str:
        """The digest of the file as it was opened or last saved; empty without a file."""
        return self._on_disk

    def work(self) -> Work | None:
        """Return what is not saved, with the undo steps since the file held it; None if it does."""
        if self.is_clean:
            return None
        stack = self.undo_stack
        clean, at = stack.cleanIndex(), stack.index()
        if 0 <= clean <= at:
            commands = [stack.command(each) for each in range(clean, stack.count())]
            steps = tuple(
                UndoStep(each.text(), each.after) for each in commands if isinstance(each, _Change)
            )
            at -= clean
        else:
            # What was saved is no longer on the way: it is one step back.
            steps, at = (UndoStep(UNSAVED_WORK, self._scenario),), 1
        return Work(self._kept, steps, at, self._path, self._on_disk)

    def recover(self, work: Work) -> None:
        """Begin with work that was never saved, its undo steps with it.

        It belongs to its file only while that holds what it held then; otherwise it has none, and
        saving asks for one.
        """
        path, on_disk = work.file, work.digest
        is_there = path is not None and _holds(path, on_disk)
        self._begin(work.base, path if is_there else None, on_disk if is_there else "")
        if path is not None and is_there:
            self._old = _old_data(path)
        else:
            self.undo_stack.resetClean()
        with QSignalBlocker(self):
            before = work.base
            for step in work.steps:
                self.undo_stack.push(_Change(self, step.text, before, step.scenario, ""))
                before = step.scenario
            self.undo_stack.setIndex(work.at)
        self._set(work.scenario)
        self.file_changed.emit()

    def _begin(self, scenario: Scenario, path: Path | None, on_disk: str = "") -> None:
        self.end_burst()
        self.undo_stack.clear()
        self._remarks, self._old = (), b""
        self._path, self._on_disk = path, on_disk
        self._kept = scenario
        self._set(scenario)
        self.begun.emit()
        self.file_changed.emit()

    def _set(self, scenario: Scenario) -> None:
        self._scenario = scenario
        self.scenario_changed.emit()


def _old_data(path: Path) -> bytes:
    """Return what a file of an earlier format holds; nothing of one of today."""
    try:
        data = reading(read_bytes, path)
        return data if is_old(table_of(data)[0]) else b""
    except ScenarioError:
        return b""


def _keep_old(data: bytes, path: Path) -> None:
    """Keep a file of format 1 beside the one that takes its place; one kept before stays."""
    kept = path.with_name(f"{path.name}.format1")

    def keep() -> None:
        if not kept.exists():
            write_data(data, kept)

    saving(keep, kept)


def digest_of(data: bytes) -> str:
    """Return what tells one content of a file from every other."""
    return hashlib.sha256(data).hexdigest()


def is_changed(path: Path, on_disk: str) -> bool:
    """Whether a file that is there holds something else than what has this digest."""
    try:
        return path.exists() and digest_of(read_bytes(path)) != on_disk
    except (OSError, ValueError):
        return False
    except ScenarioError:
        # Whatever stands there now, it is not what was read.
        return True


def _holds(path: Path, on_disk: str) -> bool:
    try:
        return digest_of(reading(read_bytes, path)) == on_disk
    except ScenarioError:
        return False


class _Change(QUndoCommand):
    """From one scenario to another; both share all that did not change."""

    def __init__(
        self, document: Document, text: str, before: Scenario, after: Scenario, merge_key: str
    ) -> None:
        super().__init__(text)
        self._document = document
        self.before = before
        self.after = after
        self.merge_key = merge_key

    def redo(self) -> None:
        self._document._set(self.after)  # noqa: SLF001

    def undo(self) -> None:
        self._document.end_burst()
        self._document._set(self.before)  # noqa: SLF001

    def id(self) -> int:
        return 1 if self.merge_key else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Change) or other.merge_key != self.merge_key:
            return False
        self.after = other.after
        self.setText(other.text())
        self.setObsolete(self.after == self.before)
        return True
