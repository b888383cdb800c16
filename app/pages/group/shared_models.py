"""Tables of what the posts share: the group itself, its dates, places, ways and plans by role."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.pages.group.columns import NONE, Column, typed
from app.pages.group.records_model import ColumnsModel, RecordsModel
from app.state.display import Display
from app.state.group_document import GroupDocument
from model.editing.field_facts import field_at
from model.editing.locator import locator_of
from model.group.edit_plan import (
    DATE_COLUMNS,
    date_text,
    dates_of,
    shared_text,
    with_date_text,
    with_locator,
    with_shared_text,
)
from model.group.group import Group, Route
from model.scenario.scenario import Day, Site

LOCATOR = "locator"
DATE_TIPS = {
    "sky": "Sky as planned: a word, eighths of cloud such as 5/8, or the clear-sky index",
    "bad_sky": "Sky that the plan is held against: a word, eighths of cloud, or the index",
    "low_c": "Lowest air temperature, near 03:00",
    "high_c": "Highest air temperature, near 15:00",
}
DATE_HEADS = {"sky": "Sky", "bad_sky": "Bad sky", "low_c": "Low", "high_c": "High"}


class SharedModel(ColumnsModel):
    """One row: the fields of the group itself and of its day."""

    def __init__(
        self, document: GroupDocument, display: Display, parent: QObject | None = None
    ) -> None:
        super().__init__(
            document,
            display,
            (
                typed("title", 34, of=Group),
                typed("date", 11, of=Day),
                typed("start_hour", 9, of=Day, is_figure=True),
                typed("days", 5, of=Day, is_figure=True),
                typed("wind_m_s", 9, of=Day, is_figure=True),
                typed("posts_needed", 12, of=Group, is_figure=True),
                typed("weather_reach_km", 20, of=Group, is_figure=True),
            ),
            parent,
        )

    def held(self) -> tuple[str, ...]:
        """Return the one group, as sentences call it."""
        return ("the group",)

    def held_text(self, _row: int, column: int) -> str:
        """Return a field as it is typed."""
        return shared_text(self.document.group, self.columns[column].key)

    def changed(self, _row: int, key: str, text: str) -> Group:
        """Return the group with a text in a field."""
        return with_shared_text(self.document.group, key, text)


class DatesModel(ColumnsModel):
    """A row for each local date that the run touches."""

    def __init__(
        self, document: GroupDocument, display: Display, parent: QObject | None = None
    ) -> None:
        columns = (
            Column("", "Date", "Local date of the run", characters=10),
            *(
                Column(
                    key,
                    DATE_HEADS[key],
                    DATE_TIPS[key],
                    None,
                    key.endswith("_c"),
                    wide,
                    field_at(f"{key}.0", Day) if key.endswith("_c") else None,
                )
                for key, wide in zip(DATE_COLUMNS, (12, 12, 6, 7), strict=True)
            ),
        )
        super().__init__(document, display, columns, parent)

    def held(self) -> tuple[str, ...]:
        """Return the names of the dates."""
        return dates_of(self.document.whole)

    def follow(self) -> None:
        """Show what the document holds; what was refused on other dates is let go."""
        if self.held() != self._shown:
            self.forget_refusals()
        super().follow()

    def held_text(self, row: int, column: int) -> str:
        """Return the date, or a field of it as it is typed."""
        if not column:
            return self.name_of(row)
        return date_text(self.document.group, row, DATE_COLUMNS[column - 1])

    def changed(self, row: int, key: str, text: str) -> Group:
        """Return the group with a text in a field of one date."""
        column = next(each for each in DATE_COLUMNS if each == key)
        return with_date_text(self.document.whole, row, column, text)


class PlacesModel(RecordsModel):
    """The places of the group in the order of its file."""

    where = "places"

    def __init__(
        self, document: GroupDocument, display: Display, parent: QObject | None = None
    ) -> None:
        columns = (
            typed("name", 14, of=Site),
            Column(LOCATOR, "Locator", "Maidenhead locator; typed, it moves the place", None),
            typed("latitude_deg", 9, of=Site, is_figure=True),
            typed("longitude_deg", 9, of=Site, is_figure=True),
            typed("elevation_m", 9, of=Site, is_figure=True),
            typed("timezone", 15, of=Site),
            typed("licence_max_w", 9, of=Site, is_figure=True),
            Column("", "Horizon", "Points of ridge and trees; kept from the file", _horizon),
        )
        super().__init__(document, display, columns, parent)

    def name_of(self, row: int) -> str:
        """Return how sentences call a place."""
        return self.result(row).name or f"place {row + 1}"

    def result(self, row: int) -> Site:
        """Return a place."""
        return self.document.group.places[row]

    def held_text(self, row: int, column: int) -> str:
        """Return a field as it is typed, the locator worked out."""
        if self.columns[column].key == LOCATOR:
            site = self.result(row)
            return locator_of(site.latitude_deg, site.longitude_deg)
        return super().held_text(row, column)

    def changed(self, row: int, key: str, text: str) -> Group:
        """Return the group with a text in a field of a place."""
        if key == LOCATOR:
            return with_locator(self.document.group, row, text)
        return super().changed(row, key, text)


class RoutesModel(RecordsModel):
    """The ways between places in the order of the file."""

    where = "routes"

    def __init__(
        self, document: GroupDocument, display: Display, parent: QObject | None = None
    ) -> None:
        columns = (
            Column("between.0", "Between", "A place, as posts and spares name it", characters=14),
            Column("between.1", "and", "Another place", characters=14),
            typed("hours", 7, of=Route, is_figure=True),
        )
        super().__init__(document, display, columns, parent)

    def name_of(self, row: int) -> str:
        """Return how sentences call a way."""
        return f"way {row + 1}"

    def result(self, row: int) -> Route:
        """Return a way."""
        return self.document.group.routes[row]


class RolesModel(ColumnsModel):
    """A row for each role, with the plan that its posts work."""

    def __init__(
        self, document: GroupDocument, display: Display, parent: QObject | None = None
    ) -> None:
        columns = (
            Column("", "Role", "As the posts name it", characters=14),
            Column("", "Posts", "How many have it", None, True, 6),
            Column("", "Plan", "What they work", characters=26),
        )
        super().__init__(document, display, columns, parent)

    def held(self) -> tuple[str, ...]:
        """Return the roles."""
        return self.document.group.roles

    def held_text(self, row: int, column: int) -> str:
        """Return the role, how many posts have it, or what they work."""
        role, group = self.name_of(row), self.document.group
        if column == 0:
            return role or NONE
        if column == 1:
            return str(sum(post.role == role for post in group.posts))
        blocks = next((plan.blocks for plan in group.plans if plan.role == role), None)
        if blocks is None:
            return "that of each kit's scenario"
        return "1 block" if len(blocks) == 1 else f"{len(blocks)} blocks"


def _horizon(site: Site, _us: bool) -> str:
    return f"{len(site.horizon)} points" if site.horizon else NONE
