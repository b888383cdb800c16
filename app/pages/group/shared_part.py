"""What the posts share: title, dates and weather, places, the ways between them, plans by role."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QPushButton, QVBoxLayout, QWidget

from app.pages.group.editing_part import EditingPart
from app.pages.group.records_model import ColumnsModel
from app.pages.group.records_table import RecordsTable
from app.pages.group.shared_models import (
    DatesModel,
    PlacesModel,
    RolesModel,
    RoutesModel,
    SharedModel,
)
from app.state.display import Display
from app.state.group_document import GroupDocument
from app.widgets.flow import FlowLayout
from app.widgets.labels import heading, sentence_label
from model.group.edit_plan import (
    with_new_route,
    with_place_like,
    with_role_plan,
    without_place,
    without_role_plan,
    without_route,
)
from model.scenario.scenario import Block

# The dates are whole in a window of 1024 pixels; larger text scrolls. [px]
DATES_PX = 440


class SharedPart(EditingPart):
    """Five tables that are typed in.

    ``plan_wanted`` asks for the plan of the open scenario for a role; ``plan_given`` carries that
    of a role, to be put there.
    """

    plan_wanted = Signal(str)
    plan_given = Signal(str, object)

    def __init__(
        self, document: GroupDocument, display: Display, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, parent)
        self.shared = SharedModel(document, display, self)
        self.dates = DatesModel(document, display, self)
        self.places = PlacesModel(document, display, self)
        self.routes = RoutesModel(document, display, self)
        self.roles = RolesModel(document, display, self)
        self.tables = {
            "group": RecordsTable("the group", self.shared),
            "dates": RecordsTable("dates", self.dates),
            "places": RecordsTable("places", self.places),
            "routes": RecordsTable("ways between places", self.routes),
            "roles": RecordsTable("plans by role", self.roles),
        }
        self.buttons: dict[str, QPushButton] = {}
        self.says = sentence_label()
        self.says.hide()
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.addWidget(self._box("Dates and weather", "dates"), 0, 0)
        grid.addWidget(self._box("Places", "places", self._place_buttons()), 0, 1)
        grid.addWidget(self._box("Ways between places", "routes", self._route_buttons()), 1, 0)
        grid.addWidget(self._box("Plans by role", "roles", self._role_buttons()), 1, 1)
        grid.setColumnMinimumWidth(0, DATES_PX)
        grid.setColumnStretch(0, 4)
        grid.setColumnStretch(1, 7)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.addWidget(self.tables["group"])
        whole.addWidget(self.says)
        whole.addLayout(grid, 1)
        self.setFocusProxy(self.tables["group"])
        for model in self._models():
            model.dataChanged.connect(self._tell)
        self.tables["roles"].row_changed.connect(self._on_role)
        self.fit()
        self.follow()

    def _models(self) -> tuple[ColumnsModel, ...]:
        return (self.shared, self.dates, self.places, self.routes, self.roles)

    def _box(self, title: str, table: str, buttons: QWidget | None = None) -> QWidget:
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(heading(title))
        column.addWidget(self.tables[table], 1)
        if buttons is not None:
            column.addWidget(buttons)
        return box

    def _line(self, *pieces: tuple[str, str, str, Callable[[], None]]) -> QWidget:
        """Return a line of buttons: for each its key, text, tip and what it does."""
        line = QWidget()
        flow = FlowLayout(line)
        for key, text, tip, slot in pieces:
            self.buttons[key] = self.button(text, tip, slot)
            flow.addWidget(self.buttons[key])
        return line

    def _place_buttons(self) -> QWidget:
        return self._line(
            ("add place", "Add a &place", "Like the one that is chosen", self._on_add_place),
            ("remove place", "Remove the place", "Posts there then stand where the file of their"
             " kit says", self._on_remove_place),
        )  # fmt: skip

    def _route_buttons(self) -> QWidget:
        return self._line(
            ("add route", "Add a &way", "Between two places that have none", self._on_add_route),
            ("remove route", "Remove the way", "The places stay", self._on_remove_route),
        )

    def _role_buttons(self) -> QWidget:
        return self._line(
            ("take plan", "&Take the open scenario's plan", "All posts of the role then work the"
             " plan that the main window shows", self._on_take_plan),
            ("give plan", "Put it in the open scenario", "To be looked at and changed in the main"
             " window", self._on_give_plan),
            ("drop plan", "Work the kits' own plans", "Each post of the role then works the plan"
             " in the file of its kit", self._on_drop_plan),
        )  # fmt: skip

    def follow(self) -> None:
        """Show what the document holds."""
        for model in self._models():
            model.follow()
        group = self._document.group
        self.buttons["remove place"].setEnabled(bool(group.places))
        self.buttons["remove route"].setEnabled(bool(group.routes))
        self._on_role()
        self._tell()

    def fit(self) -> None:
        """Give the tables their sizes in this size of text."""
        for table in self.tables.values():
            table.fit()
        table = self.tables["group"]
        header_px = table.horizontalHeader().sizeHint().height()
        bar_px = table.horizontalScrollBar().sizeHint().height()
        row_px = table.verticalHeader().defaultSectionSize()
        table.setFixedHeight(header_px + row_px + bar_px + 2 * table.frameWidth())

    def take_plan(self, role: str, blocks: tuple[Block, ...]) -> None:
        """Let all posts of a role work a plan."""
        if self.change(f"plan of {role}", lambda group: with_role_plan(group, role, blocks)):
            self.said.emit(f"All posts with the role {role} work the plan of the open scenario")

    @property
    def _role(self) -> str:
        roles = self._document.group.roles
        return roles[min(self.tables["roles"].row, len(roles) - 1)]

    def _on_role(self) -> None:
        has_plan = any(plan.role == self._role for plan in self._document.group.plans)
        self.buttons["take plan"].setEnabled(bool(self._role))
        self.buttons["give plan"].setEnabled(has_plan)
        self.buttons["drop plan"].setEnabled(has_plan)

    def _tell(self) -> None:
        words = [line for model in self._models() for line in model.refusals]
        self.says.setText("\n".join(words))
        self.says.setVisible(bool(words))

    def _on_add_place(self) -> None:
        whole, table = self._document.whole, self.tables["places"]
        at = table.row if whole.group.places else None
        if self.change("new place", lambda _: with_place_like(whole, at)):
            table.choose(self.places.rowCount() - 1)
            table.setFocus()

    def _on_remove_place(self) -> None:
        at = self.tables["places"].row
        name = self.places.name_of(at)
        if self.change(f"removal of {name}", lambda group: without_place(group, at)):
            self.said.emit(f"{name} is removed; undo brings it back")

    def _on_add_route(self) -> None:
        whole, table = self._document.whole, self.tables["routes"]
        if self.change("new way", lambda _: with_new_route(whole)):
            table.choose(self.routes.rowCount() - 1)
            table.setFocus()

    def _on_remove_route(self) -> None:
        at = self.tables["routes"].row
        if self.change(f"removal of way {at + 1}", lambda group: without_route(group, at)):
            self.said.emit(f"Way {at + 1} is removed; undo brings it back")

    def _on_take_plan(self) -> None:
        self.plan_wanted.emit(self._role)

    def _on_give_plan(self) -> None:
        role = self._role
        plan = next((each for each in self._document.group.plans if each.role == role), None)
        if plan is not None:
            self.plan_given.emit(role, plan.blocks)

    def _on_drop_plan(self) -> None:
        role = self._role
        if self.change(f"plan of {role}", lambda group: without_role_plan(group, role)):
            self.said.emit(f"Posts with the role {role} work the plans of their kits' files")
