"""Offers what windows now gone have left: one list that says when, of which file, what differs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QWidget

from app.state.document import Document, is_changed
from app.state.recovery.autosave import Autosave
from app.state.recovery.slot import Found, Slot, orphans, recovery_folder
from app.widgets import dialogs
from app.work.disk import absolute, disk
from model.editing.differences import changes_in_words
from model.files.atomic_write import SaveError, reason_of, shown_name
from model.files.work_record import Left, PartChange, Work

FIELDS_SHOWN = 4
TITLE = "Work that was not saved"
WORDS = "A window of Counterpoise ended before this was saved. What you leave stays for later."
CHOICES = ("Open it", "Delete")
OPEN, DELETE = range(len(CHOICES))
MORE = "There is other unsaved work: see File, Earlier versions"


class RecoveryOffer:
    """Asks once about all there is, opens one, and leaves alone what other windows hold.

    Readings and parts that nobody has to decide about are taken over without a question.
    ``take_parts`` takes changes of the library, and returns whether it could.
    """

    def __init__(
        self,
        window: QWidget,
        document: Document,
        autosave: Autosave,
        say: Callable[[str], None],
        folder: Path | None = None,
        take_parts: Callable[[Iterable[PartChange]], bool] | None = None,
    ) -> None:
        self._window, self._document, self._autosave = window, document, autosave
        self._say, self._take_parts = say, take_parts
        self._folder = folder or recovery_folder()

    def ask_for_any(self) -> None:
        """Ask about all there is, and say so where there is none."""
        if not self.ask():
            self._say("There is no other unsaved work")

    def ask(self, file: Path | None = None) -> bool:
        """Ask about the work found, or that of one file; return whether there was any."""
        try:
            found = disk.get(partial(orphans, self._folder))
        except OSError as error:
            self._say(f"Unsaved work could not be looked for: {reason_of(error)}")
            return False
        for words in found.damaged[:1]:
            self._say(words)
        try:
            return self._ask(found, None if file is None else absolute(file))
        except (OSError, SaveError) as error:
            why = reason_of(error) if isinstance(error, OSError) else str(error)
            self._say(f"Unsaved work could not be deleted: {why}")
            return True
        finally:
            for slot, _ in found.left:
                disk.ask(slot.release)

    def _ask(self, found: Found, file: Path | None) -> bool:
        works: list[tuple[Slot, Work, Left]] = []
        for slot, left in found.left:
            is_taken = self._take_over(left)
            if left.work is not None:
                works.append((slot, left.work, left))
            elif is_taken:
                disk.get(slot.discard)
        wanted = [each for each in works if file is None or each[1].file == file]
        if len(wanted) < len(works):
            self._say(MORE)
        is_any = bool(wanted)
        while wanted:
            rows = [words_for(work, left) for _, work, left in wanted]
            answer = dialogs.choose_from_list(self._window, TITLE, WORDS, rows, CHOICES)
            if answer is None:
                break
            choice, chosen = answer
            if choice == OPEN:
                slot, work, _ = wanted[chosen[0]]
                self._open(slot, work)
                break
            for row in chosen:
                disk.get(wanted[row][0].discard)
            wanted = [each for row, each in enumerate(wanted) if row not in chosen]
        return is_any

    def _take_over(self, left: Left) -> bool:
        """Take over readings and parts; return whether they are safe now."""
        self._document.loose.put_all(left.typed)
        if left.parts and (self._take_parts is None or not self._take_parts(left.parts)):
            return False
        return self._autosave.keep_now() if left.typed else True

    def _open(self, slot: Slot, work: Work) -> None:
        self._document.recover(work)
        if self._document.is_clean:
            self._say("The file holds this work already")
        elif self._autosave.flush() is None:
            # Until it is kept once more, it is not deleted.
            return
        elif work.file is not None and self._document.path is None:
            self._say(
                f"Opened what was not saved; {shown_name(work.file)} is not what it was, so saving"
                " asks for a name"
            )
        else:
            self._say("Opened what was not saved")
        disk.get(slot.discard)


def words_for(work: Work, left: Left) -> str:
    """Return when the work was kept, of which file, and which fields differ from that."""
    when = f", kept {left.kept.astimezone():%Y-%m-%d at %H:%M}" if left.kept else ""
    lines = changes_in_words(work.base, work.scenario, FIELDS_SHOWN)
    differs = f"\nDifferent: {'; '.join(lines)}" if lines else ""
    if work.file is None:
        name = " ".join(work.scenario.title.split()) or "a scenario without a title"
        return f"{name}, never saved{when}{differs}"
    folder = "".join(each if each.isprintable() else "?" for each in str(work.file.parent))
    state = f"\n{_state_of(work.file, work.digest)}"
    return f"{shown_name(work.file)} in {folder}{when}{state}{differs}"


def _state_of(file: Path, digest: str) -> str:
    """Return in a clause whether the file still holds what the work was begun with."""
    try:
        is_there = disk.get(file.is_file)
        has_changed = is_there and disk.get(lambda: is_changed(file, digest))
    except (OSError, ValueError):
        return "The file cannot be read now; the work opens without it"
    if not is_there:
        return "The file is gone; the work opens without it"
    if not digest:
        return "What the file held then is not known; the work opens without it"
    if has_changed:
        return "The file holds something else now; the work opens without it"
    return "The file is as it was then"
