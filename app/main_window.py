"""The window: builds its panels, then wires them in one block."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSignalBlocker, QSize, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QShowEvent
from PySide6.QtWidgets import QMainWindow, QVBoxLayout, QWidget

from app.editors.place.line import PlaceLine
from app.editors.place.panel import PlacePanel
from app.editors.place.sky_buttons import SkyButtons
from app.editors.sheet.view import SheetView
from app.pages.day.day_work import DayWork
from app.pages.day.headline_bar import HeadlineBar
from app.pages.day.lens import DayLens
from app.pages.day.now_work import NowWork
from app.pages.day.offers_work import OffersWork
from app.pages.day.picture import DayPicture
from app.pages.day.sun_path import SunPath
from app.pages.day.uncertainty_band import Doubt
from app.pages.day_view import DayView
from app.pages.frame.file_menus import ExamplesMenu, RecentMenu
from app.pages.frame.foot import Foot
from app.pages.frame.left_side import LeftSide
from app.pages.frame.results_work import ResultsWork
from app.pages.frame.top_line import TopLine
from app.pages.frame.versions_menu import VersionsMenu
from app.pages.frame.ways import Ways
from app.pages.help.opening import Help
from app.pages.lenses import KINDS, Lenses
from app.pages.results.panel import VerdictPanel
from app.pages.view import Around
from app.pages.windows import Views
from app.state.display import Display
from app.state.document import Document
from app.state.edit_context import Desk
from app.state.file_commands import FileCommands
from app.state.held_reports import HeldReports
from app.state.session import Session
from app.state.settings import Settings
from app.state.theme import Theme, ThemeMenu
from app.widgets.actions import Actions
from app.widgets.anchored import AnchoredSheet
from app.widgets.fitting import fit_in
from app.widgets.in_sight import InSight
from app.widgets.sides import Sides
from app.widgets.undo_words import name_undo
from app.work.deferred import Deferred
from app.work.jobs import Jobs
from model.editing.power_match import with_power_matched
from model.engine.comparison import Comparison
from model.files.atomic_write import shown_name
from model.library.catalogue import Library
from model.scenario.scenario import STATIONS_LIMIT, Block, Scenario
from model.support.figures import with_unit
from model.verdict.table import Verdict

# The window opens at this size, or as large as the screen allows. [px]
USUAL_SIZE = QSize(1600, 960)


class MainWindow(QMainWindow):
    """Place and day above, builders and results at the left, one lens at a time at the right."""

    def __init__(self, scenario: Scenario, library: Library, settings: Settings) -> None:
        super().__init__()
        self.settings = settings
        self.document = Document(scenario, self)
        self.display = Display(settings, self)
        self.theme = Theme(settings, self)
        self.theme.apply()
        self.display.apply_text_size()
        # The curves come first; all else that shows a run follows once they are painted.
        self._rest = Deferred.after_paint(self)
        self._rest.due.connect(self._show_rest)
        self.jobs = Jobs(self)
        self.session = Session(self.document, self.jobs, self)
        self.library = library
        self._plan: tuple[Block, ...] | None = None
        desk = Desk(self.document, self.display)
        self.place = PlacePanel(desk, settings)
        self.horizon = self.place.horizon
        self.sheet = SheetView(desk, library)
        self.day = DayView()
        self.plan = self.day.plan
        self.doubt = Doubt(self.document, self.session, self.day, settings, self)
        self.head = HeadlineBar(self.display)
        self.offers = OffersWork(
            self.document, self.session, self.head.offers, self.day, library, self
        )
        self.now = NowWork(self.day, self.head, self)
        self.offers.go_on_from(self.now)
        self.foot = Foot(self.display)
        self.verdict = VerdictPanel(self.display)
        self.left = LeftSide(self.sheet, self.verdict)
        self.day_lens = DayLens(self.head, self.day)
        self.place_line = PlaceLine(self.display)
        self.sky = SkyButtons(desk)
        self.files = FileCommands(self, self.document, settings, library)
        focused, reports = self.sheet.focused_station, HeldReports(self)
        around = Around(desk, self.day, focused, self.foot.say, settings, reports, self.now.seen)
        self.lenses = Lenses(self.day_lens, around)
        self.results = ResultsWork(self.document, self.session, self.lenses, self.verdict, self.now)
        self.views = Views(self, self.lenses, around, self.files, self.sheet.reveal)
        self.help = Help(self, self.lenses, settings, self.display)
        self.picture = DayPicture(self, around)
        self.day_work = DayWork(
            self.document, self.day, self.head, self.offers, self.foot.say, self
        )
        self._lay_out()
        self._keyboard = InSight(self)
        self.sun_path = SunPath(self.session, self.place_sheet, self.horizon, self)
        self.commands = Actions(self, self.top.menus, self._slots())
        self._add_menus()
        self._wire()
        self.setAcceptDrops(True)
        self._on_scenario_changed()
        self._restore()
        self.day_lens.show_text_scale(self.display.text_percent / 100)
        self.session.run_now()
        self._on_file_changed()

    def _lay_out(self) -> None:
        self.top = TopLine(self.place_line, self.sky)
        self.sides = Sides(self.left, self.lenses, self.lenses.bar)
        whole = QWidget()
        line = QVBoxLayout(whole)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(0)
        line.addWidget(self.top)
        line.addWidget(self.sides, 1)
        line.addWidget(self.foot)
        self.setCentralWidget(whole)
        self.place_sheet = AnchoredSheet(self.place, self.place_line, whole)
        self.place_sheet.opening.connect(self.place.begin)
        self.ways = Ways(
            self.place_sheet, self.place, self.horizon,
            self.lenses, self.plan, self.sides, self.foot, self.sheet, self.verdict,
        )  # fmt: skip

    def _wire(self) -> None:
        document, session, display = self.document, self.session, self.display
        document.scenario_changed.connect(self._on_scenario_changed)
        document.file_changed.connect(self._on_file_changed)
        for waiting in (self.head.show_waiting, self.foot.show_waiting):
            document.begun.connect(waiting)
        stack = document.undo_stack
        for changed in (stack.canUndoChanged, stack.canRedoChanged, stack.indexChanged):
            changed.connect(self._on_undo_changed)
        session.run_failed.connect(self.head.show_failure)
        session.comparison_changed.connect(self._on_comparison_changed)
        self.day.chart.painted.connect(self._on_painted)
        session.verdict_changed.connect(self._on_verdict_changed)
        display.units_changed.connect(self._on_units_changed)
        display.text_size_changed.connect(self._on_text_size_changed)
        self.lenses.library_changed.connect(self.sheet.offer_library)
        self.sheet.shared.connect(self.verdict.set_columns)
        self.sheet.doing.keep_wanted.connect(self.views.keep_part)
        self.lenses.measured_wanted.connect(self.views.keep_measured)
        self.sheet.station_selected.connect(self.day.chart.select_station)
        self.head.held.toggled.connect(self._on_held)
        self.day.ghost.released.connect(self._on_released)
        self.now.changed.connect(self._on_now_changed)
        self.day.picture_wanted.connect(self.picture.take)
        self.horizon.horizon_changed.connect(self._on_horizon_changed)
        self.foot.jump_wanted.connect(self.ways.jump_to)
        self.verdict.match_power_wanted.connect(self.match_power)
        for said in (self.verdict.said, self.files.said, self.place.home.said, self.doubt.said):
            said.connect(self.foot.say)
        self.settings.failed.connect(self.foot.say)
        self.sides.drawer_changed.connect(self.lenses.show_drawer)
        self.sides.opened.connect(self.lenses.builders.setChecked)
        self.lenses.builders.clicked.connect(self.sides.open_drawer)
        self.lenses.class_button.clicked.connect(self.views.open_class)
        self.sky.all_wanted.connect(self.ways.open_skies)
        self._on_undo_changed()

    def _slots(self) -> dict[str, Callable[..., object]]:
        files, stack, ways = self.files, self.document.undo_stack, self.ways
        return {
            "file.new": files.new,
            "file.open": files.open,
            "file.save": files.save,
            "file.save_as": files.save_as,
            "file.picture": self.picture.save,
            "file.quit": self.close,
            "edit.undo": stack.undo,
            "edit.redo": stack.redo,
            "edit.match_power": self.match_power,
            "edit.picture": self.picture.copy,
            "station.add": partial(self._with_station, "add"),
            "station.duplicate": partial(self._with_station, "duplicate"),
            "station.left": partial(self._with_station, "left"),
            "station.right": partial(self._with_station, "right"),
            "station.remove": partial(self._with_station, "remove"),
            **self.views.slots(),
            **self.help.slots(),
            **{f"lens.{kind.key}": partial(self.lenses.look_at, kind.key) for kind in KINDS},
            "file.print": partial(self.lenses.open, "kit_page"),
            "go.place": ways.go_place,
            "go.plan": ways.go_plan,
            "go.stations": ways.go_stations,
            "go.day": ways.go_day,
            "go.table": ways.go_table,
            "go.findings": ways.go_findings,
            "view.us": self.display.set_us,
            "view.band": self.doubt.set_shown,
            "view.larger": self._on_larger,
            "view.smaller": self._on_smaller,
            "view.usual": self._on_usual,
            "view.full": self._on_full,
        }

    def _add_menus(self) -> None:
        above, files = self.commands["file.save"], self.commands.menus["&File"]
        self.recent = RecentMenu(self.files, self.settings, self)
        self.examples = ExamplesMenu(self.files, self)
        versions = VersionsMenu(self.document, self.files, self)
        for menu in (self.recent, self.examples, versions):
            files.insertMenu(above, menu)
        view = self.commands.menus["&View"]
        view.insertMenu(self.commands["view.larger"], ThemeMenu(self.theme, self))

    def _restore(self) -> None:
        settings = self.settings
        self.setMinimumSize(640, 400)
        place = self.settings.window_place
        if place.isEmpty() or not self.restoreGeometry(place):
            self.resize(USUAL_SIZE)
        fit_in(self, self.screen().availableGeometry())
        self.sides.dragged_share = self.settings.left_share
        for key, is_on in (("view.us", settings.is_us), ("view.band", settings.shows_band)):
            action = self.commands[key]
            with QSignalBlocker(action):
                action.setChecked(is_on)

    # What the document and the session say.

    def _on_scenario_changed(self) -> None:
        scenario = self.document.scenario
        self.place.refresh()
        self.place_line.show_scenario(scenario)
        self.sky.show_scenario(scenario)
        self.sheet.refresh()
        if scenario.plan != self._plan:
            # Another place or day waits for the run: the sky behind the strip takes a while.
            self._plan = scenario.plan
            self.plan.show_scenario(scenario)
        self.horizon.show_horizon(scenario.site.horizon)
        self.commands["station.add"].setEnabled(len(scenario.stations) < STATIONS_LIMIT)

    def _on_comparison_changed(self, comparison: Comparison) -> None:
        # The curve before a change stays as a ghost; another file has no before.
        has_before = self.document.undo_stack.count() > 0
        self.day.show_comparison(self.now.seen(comparison), ghost=has_before)
        self._rest.ask()

    def _on_now_changed(self) -> None:
        if (comparison := self.session.comparison) is not None:
            self.day.show_comparison(self.now.seen(comparison))
            self.head.show_comparison(self.now.seen(comparison), self.now.basis(comparison))
            self.lenses.show_again("kit_page")

    def _on_held(self, is_held: bool) -> None:
        self.sheet.hold(self.document.scenario if is_held else None)

    def _on_released(self) -> None:
        self.sheet.hold(None)

    def _on_painted(self) -> None:
        if self.session.is_current:
            self._rest.hurry()

    def _show_rest(self) -> None:
        comparison = self.session.comparison
        if comparison is None or len(comparison.runs) != len(self.document.scenario.stations):
            return
        self.plan.show_scenario(self.document.scenario)
        self.place.show_findings(comparison.findings)
        self.sheet.show_comparison(comparison)
        self.lenses.show_comparison(comparison)
        self.results.show_comparison(comparison)

    def _on_verdict_changed(self, comparison: Comparison, verdict: Verdict) -> None:
        self.head.show_comparison(self.now.seen(comparison), self.now.basis(comparison))
        self.foot.show_findings(comparison.findings)

    def _on_file_changed(self) -> None:
        if not self.document.undo_stack.count():
            self.now.begin(self.document.scenario)
        path = self.document.path
        name = shown_name(path) if path else self.document.scenario.title or "New scenario"
        # Twice, the place of the star is a name's own text.
        whole = name.replace("[*]", "[*][*]")
        self.setWindowTitle(f"{whole}[*] – Counterpoise")
        self.setWindowModified(not self.document.is_clean)

    def _on_undo_changed(self) -> None:
        commands = self.commands
        name_undo(self.document.undo_stack, commands["edit.undo"], commands["edit.redo"])

    def _on_units_changed(self) -> None:
        self.place.refresh()
        self.place_line.show_scenario(self.document.scenario)
        self.sheet.refresh()
        self.verdict.refresh_units()

    def _on_text_size_changed(self) -> None:
        percent = self.display.text_percent
        self.day_lens.show_text_scale(percent / 100)
        self.foot.say(f"Text at {with_unit(str(percent), '%')} of the system's")

    def _on_horizon_changed(self, points: tuple[tuple[float, float], ...]) -> None:
        self.document.edit("site.horizon", points, "change of the horizon")

    # What a person asks for.

    def _with_station(self, key: str) -> None:
        self.sheet.doing.with_station(key, self.sheet.focused_station())

    def match_power(self) -> None:
        """Let the plan ask for no more than every station can give."""
        after = with_power_matched(self.document.scenario)
        self.document.replace("same RF power", after)

    def _on_larger(self) -> None:
        self.display.set_text_percent(self.display.next_text_percent(1))

    def _on_smaller(self) -> None:
        self.display.set_text_percent(self.display.next_text_percent(-1))

    def _on_usual(self) -> None:
        self.display.set_text_percent(100)

    def _on_full(self, is_full: bool) -> None:
        if is_full:
            self.showFullScreen()
        else:
            self.showNormal()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if dropped_file(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = dropped_file(event)
        if path is not None:
            event.acceptProposedAction()
            self.files.open_path(path)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        # Only once it is laid out is it known how wide whole columns are.
        QTimer.singleShot(0, self, self._divide)

    def _divide(self) -> None:
        self.sides.want_left(self.sheet.usual_width(self.sides.width() // 2))

    def closeEvent(self, event: QCloseEvent) -> None:
        if not (self.views.may_close() and self.files.may_go_on()):
            event.ignore()
            return
        self.views.close()
        self.help.close()
        self.lenses.close_lenses()
        focused = self.focusWidget()
        if focused is not None:
            # A field would otherwise be left only when half of the window is gone.
            focused.clearFocus()
        self.settings.window_place = self.saveGeometry()
        self.settings.left_share = self.sides.dragged_share
        self.settings.close()
        self.session.close()
        self.doubt.close()
        self.offers.close()
        self.results.close()
        self.display.restore_text_size()
        self.theme.restore()
        event.accept()


def dropped_file(event: QDropEvent) -> Path | None:
    """Return the one local file that is being dragged, or None."""
    files = [url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile()]
    return Path(files[0]) if len(files) == 1 else None
