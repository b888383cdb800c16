"""The chapters of the guide: those written for it, and those made from what the program holds."""

from __future__ import annotations

from dataclasses import dataclass

from app.charts.day.read_out import KEYS as DAY_KEYS
from app.charts.horizon import KEYS as HORIZON_KEYS
from app.editors.plan_strip.keys import KEYS as PLAN_KEYS
from app.resources import resource
from app.widgets.actions import COMMANDS, MENUS
from app.widgets.number_text import sentence_text
from app.work.disk import disk
from model.scenario import cautions
from model.scenario.cautions import ELECTRICAL, PREDICTION, Caution
from model.support.version import VERSION

GUIDE = "assets/guide.md"
HEAD = "## "
CAUTIONS, KEYS, ABOUT = "Cautions", "Keys", "About"
MISSING = "The guide is missing from this copy of the program; the keys and the cautions are here."
# Where the guide opens for each lens; on the day it opens at its beginning.
LENS_CHAPTERS = {
    "day": "What Counterpoise is",
    "odds": "Odds",
    "size": "Size",
    "wiring": "Wiring",
    "signal": "Signal",
    "page": "Kit page",
    "field": "Field: bench and log",
    "parts": "Parts library",
}
SHEET_KEYS = (
    "Arrows go from cell to cell. Typing or Enter edits a cell, Escape takes back what was typed."
    " Up and down step a number while it is edited; with Shift a value goes to every station."
    " Space opens a slot and closes it, Alt with down offers the parts or choices of a cell, the"
    " menu key all that can be done with it. A number can be dragged with the mouse as well."
)
FIELD_KEYS = (
    "Tab goes from field to field. Up and down step a number, Escape takes back what was typed,"
    " Enter keeps it."
)
CLASS_KEYS = (
    "Page down, right, space and Enter go on, page up and left go back, B or a full stop makes the"
    " screen dark, F8 hides the instructor's strip, F11 fills the screen, Escape leads to the list."
    " What is said is kept; the list goes on where the class was."
)
OTHER_KEYS = (
    ("Sheet of the stations", SHEET_KEYS),
    ("Other fields", FIELD_KEYS),
    ("Curves of the day", DAY_KEYS),
    ("Plan", PLAN_KEYS),
    ("Horizon", HORIZON_KEYS),
    ("Class", CLASS_KEYS),
)


@dataclass(frozen=True)
class Chapter:
    """One chapter; ``text`` is Markdown without its heading."""

    title: str
    text: str

    def holds(self, words: str) -> bool:
        """Return whether every word stands in it, whatever the case."""
        whole = f"{self.title} {self.text}".casefold()
        return all(word in whole for word in words.casefold().split())

    @property
    def shown(self) -> str:
        """The chapter with its heading, as Markdown."""
        return f"# {self.title}\n\n{self.text}"


def chapters(*, us: bool = False) -> tuple[Chapter, ...]:
    """Return all chapters, the written ones first; the cautions stand in the units shown."""
    return (*_written(), _cautions(us=us), _keys(), _about())


def _written() -> tuple[Chapter, ...]:
    try:
        text = disk.get(lambda: resource(GUIDE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return (Chapter("Guide", MISSING),)
    found = []
    for part in f"\n{text}".split(f"\n{HEAD}")[1:]:
        title, _, body = part.partition("\n")
        found.append(Chapter(title.strip(), body.strip()))
    return tuple(found)


def _cautions(*, us: bool) -> Chapter:
    """Return every caution there is, in the words of the window."""
    lines = [
        sentence_text(each.text, us=us)
        for each in vars(cautions).values()
        if isinstance(each, Caution)
    ]
    listed = "\n".join(f"- {line}" for line in lines)
    return Chapter(CAUTIONS, f"**{PREDICTION}** {ELECTRICAL}\n\n{listed}")


def _keys() -> Chapter:
    """Return every command with its shortcut, then the keys of what is drawn."""
    parts = []
    for menu in MENUS:
        rows = [
            f"| {_plain(each.text)} | {each.shortcut} | {each.tip} |"
            for each in COMMANDS
            if each.menu == menu
        ]
        head = f"### {_plain(menu)}\n\n| Command | Keys | What it does |\n|---|---|---|"
        parts.append("\n".join([head, *rows]))
    parts += [f"### {title}\n\n{keys}" for title, keys in OTHER_KEYS]
    return Chapter(KEYS, "\n\n".join(parts))


def _about() -> Chapter:
    text = (
        f"Counterpoise {VERSION} weighs one portable radio station against another over the same"
        " plan, sky and night. Everything works offline. Parts, places and examples that come with"
        f" it are invented.\n\n**{PREDICTION}** {ELECTRICAL}"
    )
    return Chapter(ABOUT, text)


def _plain(text: str) -> str:
    return text.replace("&", "").rstrip("…")
