"""The lenses by name, and the right side of the window that shows one of them at a time."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QStackedWidget,
    QTabBar,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.pages.day.lens import DayLens
from app.pages.lens import Lens
from app.pages.questions import Questions
from app.pages.view import Around, View
from app.widgets.icons import IconDress
from app.widgets.tokens import GRID_PX
from app.work.jobs import Jobs, window_first
from model.engine.comparison import Comparison
from model.support.progress import Search


@dataclass(frozen=True)
class Kind:
    """One lens: what it is called, what it answers, and the views in it."""

    key: str
    title: str
    answers: str
    views: tuple[str, ...]


KINDS = (
    Kind("day", "Day", "Who ends first, when and why; the charge through each night.", ()),
    Kind(
        "odds",
        "Odds",
        "In how many trips of ten does each station last, and what would raise that?",
        ("odds",),
    ),
    Kind(
        "size",
        "Size",
        "Which battery and panel are enough, and what could stay at home?",
        ("sizing",),
    ),
    Kind(
        "wiring",
        "Wiring",
        "Where is voltage lost on the way to the radio, and what would cure it?",
        ("leads",),
    ),
    Kind(
        "signal",
        "Signal",
        "How strong is each station's signal, at what cost, and how far away must people stay?",
        ("signals",),
    ),
    Kind("page", "Page", "What goes along on paper, to operate from and to sign?", ("kit_page",)),
    Kind(
        "field",
        "Field",
        "What should be measured, and does the trip go as predicted?",
        ("bench", "field_check"),
    ),
)
# Not an answer but a place: a tab of its own after the lenses.
PARTS = Kind("parts", "Parts", "Which parts are at hand, and what would each change?", ("library",))
PLACES = (*KINDS, PARTS)
# The module and the class of each view: loaded when first seen, so that the window need not wait
# for them.
VIEWS = {
    "odds": ("odds.page", "OddsPage"),
    "sizing": ("size.page", "SizingPage"),
    "leads": ("wiring.page", "LeadsPage"),
    "signals": ("signal.page", "SignalsPage"),
    "kit_page": ("kit_page.page", "KitPage"),
    "bench": ("field.bench.page", "BenchPage"),
    "field_check": ("field.check.page", "FieldCheckPage"),
    "library": ("library.page", "LibraryPage"),
}


# So long after the window has come, what the lenses need is loaded beside it. [ms]
AHEAD_MS = 1500


def search_modules() -> Search[None]:
    """Load the module of each view, for whoever looks through a lens later."""
    for number, (module, _) in enumerate(VIEWS.values()):
        import_module(f"app.pages.{module}")
        yield number / len(VIEWS)


class Lenses(QWidget):
    """A tab for each lens; a lens is made when it is first looked at.

    ``library_changed`` carries the person's library after each change, ``measured_wanted`` a
    station whose measured numbers are to go into it.
    """

    changed = Signal(str)
    library_changed = Signal(object)
    measured_wanted = Signal(int)

    def __init__(self, day: DayLens, around: Around, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.day, self._around = day, around
        self._comparison: Comparison | None = None
        self.made: dict[str, Lens] = {}
        self._questions: dict[str, Questions] = {}
        self._loading = Jobs(self)
        self._ahead = QTimer(self, singleShot=True, interval=AHEAD_MS)
        self._ahead.timeout.connect(self._load)
        self.tabs = QTabBar()
        self.tabs.setAccessibleName("lenses")
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setUsesScrollButtons(True)
        self.tabs.setElideMode(Qt.TextElideMode.ElideNone)
        self.builders = self._tool("Stations", "Open or close the stations and results", "builders")
        self.builders.setCheckable(True)
        self.class_button = self._tool("Class", "Lessons for a group (F5)", "class")
        self._sheets = QStackedWidget()
        for number, kind in enumerate(PLACES, start=1):
            self.tabs.addTab(kind.title)
            keys = "Ctrl+L" if kind is PARTS else f"Ctrl+{number}"
            self.tabs.setTabToolTip(number - 1, f"{kind.answers} ({keys})")
            self._sheets.addWidget(day if kind.key == "day" else QWidget())
        self.bar = QWidget()
        line = QHBoxLayout(self.bar)
        line.setContentsMargins(8, 0, 8, 0)
        line.setSpacing(8)
        line.addWidget(self.builders)
        line.addWidget(self.tabs, 1)
        line.addWidget(self.class_button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.bar)
        whole.addWidget(self._sheets, 1)
        self.show_drawer(False)
        self.tabs.currentChanged.connect(self._on_tab)

    def _tool(self, text: str, tip: str, drawing: str) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(tip)
        button.setAccessibleName(text)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        IconDress(button, drawing)
        return button

    def show_drawer(self, is_drawer: bool) -> None:
        """Show the button of the drawer only where the builders are one."""
        self.builders.setVisible(is_drawer)
        self.builders.setChecked(False)

    @property
    def current(self) -> str:
        """The key of the lens that is looked at."""
        return PLACES[self.tabs.currentIndex()].key

    def look_at(self, key: str) -> None:
        """Look through a lens, and give it the keyboard."""
        self.tabs.setCurrentIndex([kind.key for kind in PLACES].index(key))
        (self._questions.get(key) or self._seen_of(key) or self.day).take_focus()

    def open(self, view: str) -> Lens:
        """Look through the lens that a view stands in, at that view."""
        kind = next(kind for kind in PLACES if view in kind.views)
        self.tabs.setCurrentIndex(PLACES.index(kind))
        if kind.key in self._questions:
            self._questions[kind.key].show_view(view)
        # Whoever opens it wants what is in it.
        self.made[view].feed()
        self.made[view].take_focus()
        return self.made[view]

    def load_ahead(self) -> None:
        """Load what the lenses need, soon and beside the window: a first look then is quick."""
        self._ahead.start()

    def _load(self) -> None:
        self._loading.start(search_modules())

    @property
    def is_loading(self) -> bool:
        """Whether what the lenses need is being loaded, or soon will be."""
        return self._ahead.isActive() or self._loading.is_running

    def show_comparison(self, comparison: Comparison) -> None:
        """Let what is seen follow a newer comparison."""
        self._comparison = comparison
        for lens in self.made.values():
            lens.show_comparison(comparison)

    def show_again(self, view: str) -> None:
        """Let a view that has been looked at follow what is read of the same comparison."""
        if view in self.made:
            self.made[view].show_again()

    def close_lenses(self) -> None:
        """End all work: to be called before the window goes."""
        self._ahead.stop()
        self._loading.close()
        for lens in self.made.values():
            lens.end()

    def _seen_of(self, key: str) -> Lens | None:
        kind = next(kind for kind in PLACES if kind.key == key)
        seen = [self.made[view] for view in kind.views if self.made[view].isVisible()]
        return seen[0] if seen else None

    def _on_tab(self, number: int) -> None:
        window_first()
        kind = PLACES[number]
        if any(view not in self.made for view in kind.views):
            self._fill(number, kind)
        for view in kind.views:
            self.made[view].show_comparison(self._comparison)
        self._sheets.setCurrentIndex(number)
        self.changed.emit(kind.key)

    def _fill(self, number: int, kind: Kind) -> None:
        blank = self._sheets.widget(number)
        assert blank is not None
        self._sheets.insertWidget(number, self._sheet(kind))
        self._sheets.removeWidget(blank)
        blank.deleteLater()

    def _sheet(self, kind: Kind) -> QWidget:
        for view in kind.views:
            module, name = VIEWS[view]
            made: View = getattr(import_module(f"app.pages.{module}"), name)(self._around)
            made.measured_wanted.connect(self.measured_wanted)
            made.library_changed.connect(self.library_changed)
            self.made[view] = Lens(view, made)
        lenses = [self.made[view] for view in kind.views]
        if not lenses[0].view.questions:
            return LensSheet(kind.answers, lenses[0])
        self._questions[kind.key] = Questions(lenses)
        return LensSheet(kind.answers, self._questions[kind.key])


# So low a lens can still be used, and one that scrolls by itself.
LEAST_LINES, SCROLLED_LINES = 20, 6


class LensSheet(QScrollArea):
    """A lens under the line that says what it answers; scrolls where there is no room for it."""

    def __init__(self, answers: str, content: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = content
        is_scrolled = isinstance(content, Lens) and content.view.scrolls
        self._least_lines = SCROLLED_LINES if is_scrolled else LEAST_LINES
        inside = QWidget()
        head = QLabel(answers)
        head.setTextFormat(Qt.TextFormat.PlainText)
        head.setWordWrap(True)
        head.setAccessibleName("what this answers")
        head.setContentsMargins(2 * GRID_PX, GRID_PX, 2 * GRID_PX, 2)
        font = head.font()
        font.setBold(True)
        head.setFont(font)
        whole = QVBoxLayout(inside)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(head)
        whole.addWidget(content, 1)
        self.setWidget(inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._fit()

    def minimumSizeHint(self) -> QSize:
        return QSize(280, 160)

    def _fit(self) -> None:
        # Enough to use what is in it, however low the window is.
        self._content.setMinimumHeight(self.fontMetrics().lineSpacing() * self._least_lines)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()
