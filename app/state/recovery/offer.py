"""Offers the work that a process now gone has left: when, of which file, and what differs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QWidget

from app import dialogs
from app.state.document import Document
from app.state.recovery.autosave import Autosave
from app.state.recovery.slot import Slot, Work, orphans, recovery_folder
from model.editing.differences import changes_in_words
from model.editing.faults import ScenarioError
from model.files.atomic_write import shown_name
from model.files.scenario_file import read_scenario
from model.scenario.scenario import Scenario

LINES_SHOWN = 8
TITLE = "Work that was not saved"
CHOICES = ("Open it", "Keep it for later", "Delete it")
OPEN, LATER, DELETE = range(len(CHOICES))


class RecoveryOffer:
    """Asks about each piece of work, opens one, and leaves alone what other windows hold."""

    def __init__(
        self,
        window: QWidget,
        document: Document,
        autosave: Autosave,
        say: Callable[[str], None],
        folder: Path | None = None,
    ) -> None:
        self._window, self._document, self._autosave = window, document, autosave
        self._say = say
        self._folder = folder or recovery_folder()

    def ask_for_any(self) -> None:
        """Ask about all there is, and say so where there is none."""
        if not self.ask():
            self._say("There is no other unsaved work")

    def ask(self, file: Path | None = None) -> bool:
        """Ask about the work found, or that of one file; return whether there was any."""
        try:
            found, aside = orphans(self._folder)
        except OSError as error:
            self._say(f"Unsaved work could not be looked for: {error.strerror}")
            return False
        if aside:
            self._say(f"Unsaved work was damaged and is set aside: {aside[0]}")
        wanted = [each for each in found if file is None or _is_of(each[1], file)]
        try:
            self._ask_about(wanted)
        except OSError as error:
            self._say(f"Unsaved work could not be deleted: {error.strerror}")
        finally:
            for slot, _ in found:
                slot.release()
        return bool(wanted)

    def _ask_about(self, found: list[tuple[Slot, Work]]) -> None:
        for slot, work in found:
            answer = dialogs.choose(self._window, TITLE, words_for(work), CHOICES)
            if answer == OPEN:
                self._open(slot, work)
                return
            if answer == DELETE:
                slot.discard()

    def _open(self, slot: Slot, work: Work) -> None:
        self._document.recover(work.scenario, work.file)
        if self._document.is_clean:
            self._say("The file holds this work already")
        elif self._autosave.flush() is None:
            # Until it is kept once more, it is not deleted.
            return
        else:
            self._say("Opened what was not saved")
        slot.discard()


def _is_of(work: Work, file: Path) -> bool:
    return work.file is not None and work.file.resolve() == file.resolve()


def words_for(work: Work) -> str:
    """Return when the work was kept, of which file, and which fields differ from that."""
    when = f"{work.kept.astimezone():%Y-%m-%d at %H:%M}"
    if work.file is None:
        name = " ".join(work.scenario.title.split()) or "a scenario without a title"
        return f"Counterpoise ended before {name} was saved for the first time. Kept {when}."
    start = f"Counterpoise ended before {shown_name(work.file)} was saved. Kept {when}."
    held = _held(work.file)
    if held is None:
        return f"{start}\n\nThe file cannot be read now: {work.file}"
    lines = changes_in_words(held, work.scenario, LINES_SHOWN)
    return "\n".join([start, "", "Different from the file:", *lines]) if lines else start


def _held(file: Path) -> Scenario | None:
    try:
        return read_scenario(file)
    except ScenarioError:
        return None
