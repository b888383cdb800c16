"""The sheet of place and day: locator and degrees, the list of zones, and room for all of it."""

from __future__ import annotations

from zoneinfo import available_timezones

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from user import User

from tests.plain import plain

LOCATOR, ZONE = "site, locator", "site, time zone"


def degrees(user: User) -> tuple[float, float]:
    site = user.window.document.scenario.site
    return site.latitude_deg, site.longitude_deg


def zone(user: User) -> str:
    return user.window.document.scenario.site.timezone


def test_a_locator_sets_both_degrees_in_one_step(user: User) -> None:
    assert user.reads(LOCATOR) == "JO50jq"
    before = user.window.document.scenario
    user.fill(LOCATOR, "ff46QM")
    # The middle of 33.5 to 33.4583 S and 70.6667 to 70.5833 W, worked by hand.
    assert degrees(user) == (-33.4792, -70.625)
    assert user.reads(LOCATOR) == "FF46qm"
    assert user.reads("site, latitude") == "-33.4792".replace("-", "−")
    user.choose("Edit", "Undo change of the locator")
    assert user.window.document.scenario == before
    assert user.reads(LOCATOR) == "JO50jq"
    assert not user.window.document.undo_stack.canUndo()


def test_how_near_a_locator_is_follows_the_units(user: User) -> None:
    said = user.find(LOCATOR).accessibleDescription
    assert plain(said()).endswith("known to some 5 km.")
    user.window.display.set_us(True)
    # 5 km / 1.609344 = 3.1 mi.
    assert plain(said()).endswith("known to some 3.1 mi.")


def test_the_locator_follows_the_degrees(user: User) -> None:
    user.fill("site, longitude", "-0.6")
    assert user.reads(LOCATOR) == "IO90qq"


def test_a_locator_stays_as_long_as_it_was_typed(user: User) -> None:
    for typed in ("JN47", "JN47pn", "JN47pn25"):
        user.fill(LOCATOR, typed)
        assert user.reads(LOCATOR) == typed


def test_what_is_no_locator_is_refused_and_escape_restores_it(user: User) -> None:
    before = user.window.document.scenario
    user.fill(LOCATOR, "JN47p", leave=False)
    assert "A locator reads JO50, JO50jq or JO50jq68" in user.note_under(LOCATOR)
    assert user.window.document.scenario == before
    user.press(Qt.Key.Key_Escape)
    assert user.reads(LOCATOR) == "JO50jq"
    assert user.note_under(LOCATOR) == ""


def test_part_of_a_name_finds_the_zone(user: User) -> None:
    for typed, name in (
        ("denver", "America/Denver"), ("Asia/Kolkata", "Asia/Kolkata"), ("utc", "UTC"),
        ("los angeles", "America/Los_Angeles"), ("Australia/Hobart", "Australia/Hobart"),
    ):  # fmt: skip
        user.fill(ZONE, typed)
        assert (zone(user), user.reads(ZONE)) == (name, name)


def test_on_the_way_to_a_name_the_list_narrows_and_nothing_changes(user: User) -> None:
    before = user.window.document.scenario
    user.fill(ZONE, "new", leave=False)
    found = user.window.place.editors["site.timezone"].found
    assert found.isVisible()
    assert found.names() == sorted(n for n in available_timezones() if "new" in n.casefold())
    assert user.window.document.scenario == before
    assert user.note_under(ZONE) == ""
    field = user.find(ZONE, QLineEdit)
    QTest.keyClick(field, Qt.Key.Key_Tab)
    assert "No time zone is called so" in user.note_under(ZONE)
    assert field.text() == "new"
    assert user.window.document.scenario == before


def test_a_zone_is_chosen_from_the_list(user: User) -> None:
    user.fill(ZONE, "new", leave=False)
    found = user.window.place.editors["site.timezone"].found
    field = user.find(ZONE, QLineEdit)
    for _ in range(found.names().index("America/New_York") + 1):
        QTest.keyClick(field, Qt.Key.Key_Down)
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert zone(user) == "America/New_York"
    assert user.reads(ZONE) == "America/New_York"
    assert not found.isVisible()


def test_the_arrow_opens_every_zone(user: User) -> None:
    user.window.ways.go_place()
    user.click("list of time zones")
    found = user.window.place.editors["site.timezone"].found
    assert found.names() == sorted(available_timezones())
    row = found.model().index(found.names().index("Asia/Tokyo"), 0)
    found.scrollTo(row)
    QTest.mouseClick(
        found.viewport(), Qt.MouseButton.LeftButton, pos=found.visualRect(row).center()
    )
    assert zone(user) == "Asia/Tokyo"
    assert not found.isVisible()


def test_a_zone_that_is_none_is_refused(user: User) -> None:
    before = user.window.document.scenario
    for typed in ("Atlantis", ""):
        user.fill(ZONE, typed)
        assert "No time zone is called so" in user.note_under(ZONE)
        assert user.window.document.scenario == before


def test_all_of_the_sheet_is_seen(user: User) -> None:
    user.window.ways.go_place()
    assert user.sees("Where the stations stand, when, and under which sky")
    for size, us in (((1366, 768), False), ((1024, 600), False), ((1024, 600), True)):
        user.window.display.set_us(us)
        user.window.resize(*size)
        user.settle()
        area = user.window.place_sheet.area
        assert area.verticalScrollBar().maximum() == 0
        assert area.horizontalScrollBar().maximum() == 0
        assert user.window.rect().contains(user.window.place_sheet.geometry())
    user.window.resize(1366, 768)
    user.window.display.set_text_percent(200)
    user.settle()
    assert user.window.place_sheet.area.horizontalScrollBar().maximum() == 0


def test_the_fields_are_made_when_first_wanted_and_show_no_window_of_their_own(
    user: User,
) -> None:
    place = user.window.place
    assert not place.editors
    assert not place.findChildren(QLineEdit)
    seen = {each for each in QApplication.topLevelWidgets() if each.isVisible()}
    watch = Shown()
    application = QApplication.instance()
    assert application is not None
    application.installEventFilter(watch)
    try:
        user.window.ways.go_place()
        user.settle()
    finally:
        application.removeEventFilter(watch)
    assert place.editors["site.name"].isVisible()
    assert watch.windows <= seen
    made = dict(place.editors)
    user.window.place_sheet.close_sheet()
    user.window.place_sheet.open_sheet()
    assert place.editors == made


class Shown(QObject):
    """Keeps which windows were shown."""

    def __init__(self) -> None:
        super().__init__()
        self.windows: set[QWidget] = set()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.windows.add(watched)
        return False
