"""What stands in a lens, and what all of them work with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.pages.day_view import DayView
from app.state.document import Document
from app.state.edit_context import Desk
from app.state.held_reports import HeldReports
from app.state.settings import Settings
from app.widgets.one_at_a_time import OneAtATime
from model.editing.paths import value_at
from model.engine.comparison import Comparison
from model.scenario.scenario import Scenario

if TYPE_CHECKING:
    # The pages take their time to load, and the main window shows none.
    from app.printing.say import Units

KEEP_MEASURED = "Save measured numbers to library"
TOO_LATE = "Not done: the scenario has changed meanwhile. Look again, then choose."


@dataclass(frozen=True)
class Around:
    """The main window as seen from beside it.

    ``chosen_station`` tells the station the keyboard is in; ``say`` puts a sentence on the foot;
    ``reports`` are what one lens has read and another prints;
    ``from_now`` returns a comparison from a reading on, where there is one.
    """

    desk: Desk
    day: DayView
    chosen_station: Callable[[], int]
    say: Callable[[str], None]
    settings: Settings
    reports: HeldReports
    from_now: Callable[[Comparison], Comparison]

    @property
    def document(self) -> Document:
        """The document that is edited."""
        return self.desk.document


class View(QWidget):
    """The content of a lens. It is shown a comparison while it is seen, a moment late.

    It waits until no newer one came for ``wait_ms``, at most ``longest_wait_ms``: the usual ones
    wait until the hand rests, so that a drag in the main window stays smooth.
    ``library_changed`` carries the person's library where a view changes it; ``measured_wanted``
    carries a station, from 0, whose measured numbers are to go into it. A view of several
    ``questions`` answers one at a time; ``asked`` tells one that it goes to by itself.
    """

    library_changed = Signal(object)
    measured_wanted = Signal(int)
    asked = Signal(int)

    title = ""
    questions: tuple[str, ...] = ()
    # Whether what it shows scrolls by itself, however low the window is.
    scrolls = False
    # What has the keyboard first. It is no focus proxy: on its way into the owner of one, Tab
    # would pass over all that stands before it.
    first: QWidget | None = None
    wait_ms = 300
    longest_wait_ms = 20_000

    def __init__(self, around: Around, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.around = around
        self._answers: OneAtATime | None = None

    def take_focus(self) -> None:
        """Give the keyboard to what is used first."""
        (self.first or self).setFocus()

    def answer_with(self, answers: OneAtATime) -> None:
        """Answer the questions with these widgets, in their order."""
        self._answers = answers
        answers.changed.connect(self.asked)

    @property
    def units(self) -> Units:
        """The units shown, as pages call them."""
        return "us" if self.around.desk.display.is_us else "metric"

    @property
    def question(self) -> int:
        """The question that is answered, by its place among them."""
        return 0 if self._answers is None else self._answers.index

    def ask(self, number: int) -> None:
        """Answer one of the questions."""
        if self._answers is not None:
            self._answers.show_at(number)

    def show_comparison(self, comparison: Comparison) -> None:
        """Show a comparison."""
        raise NotImplementedError

    def rest(self) -> None:
        """Work no more while it is out of sight; who can, tells the worker and does not wait."""
        self.stop()

    def stop(self) -> None:
        """End what works beside the window, and wait for it: the window is about to go."""


def edit(document: Document, seen: Scenario | None, path: str, value: Any) -> list[str]:
    """Put a value at a path as an undo step of its own; return why it is refused, if it is.

    A view shows what there is a moment late: where the part it saw is another by now, or is gone,
    the path means something else, and nothing is written.
    """
    part = path.rpartition(".")[0]
    if seen is None or _held_at(seen, part) != _held_at(document.scenario, part):
        return [TOO_LATE]
    document.end_burst()
    faults = document.edit(path, value)
    document.end_burst()
    return [str(fault) for fault in faults]


def put(document: Document, text: str, seen: Scenario | None, wanted: Scenario) -> list[str]:
    """Make a whole scenario an undo step; return why not where it was made of an older one."""
    if seen is not document.scenario:
        return [TOO_LATE]
    document.end_burst()
    document.replace(text, wanted)
    return []


def _held_at(scenario: Scenario, path: str) -> object:
    try:
        return value_at(scenario, path)
    except KeyError:
        return None
