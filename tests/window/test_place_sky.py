"""The sky chosen in words, for all dates or for one, with the indices behind."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QLabel
from user import User

from app.editors.place.sky import dates_of
from app.editors.place.sky_buttons import SkyButton

TEXT = "day, sky by date"
SATURDAY, SUNDAY, MONDAY = (f"{name} Apr, sky" for name in ("Sat 17", "Sun 18", "Mon 19"))


def skies(user: User) -> tuple[str | float, ...]:
    return user.window.document.scenario.day.sky


def is_seen(user: User, name: str) -> bool:
    return any(
        box.isVisible() and box.accessibleName() == name
        for box in user.window.findChildren(QComboBox)
    )


def labels(user: User) -> list[str]:
    return [label.text() for label in user.window.place.findChildren(QLabel) if label.isVisible()]


def test_a_sky_that_differs_shows_a_word_for_each_local_date(user: User) -> None:
    # From Saturday 08:00 for two days: three dates.
    assert user.reads("day, sky") == "differs by date"
    assert user.reads(SATURDAY) == "mostly clear"
    assert user.reads(SUNDAY) == "mixed"
    assert user.reads(MONDAY) == "mixed"
    assert user.reads(TEXT) == "mostly clear; mixed"
    assert {"0.95", "0.84", "0.84–0.95"} <= set(labels(user))


def test_one_date_is_made_overcast_and_undone_in_one_step(user: User) -> None:
    user.pick(SUNDAY, "overcast")
    assert skies(user) == ("mostly clear", "overcast", "mixed")
    assert "0.40" in labels(user)
    user.choose("Edit", "Undo change of the sky on Sun 18 Apr")
    assert skies(user) == ("mostly clear", "mixed")
    assert user.reads(SUNDAY) == "mixed"


def test_rain_on_a_date_is_one_choice_in_the_list(user: User) -> None:
    user.pick("day, sky", "clear")
    user.pick("day, sky", "rain on Sun 18 Apr")
    assert skies(user) == ("clear", "rain", "clear")
    assert user.reads("day, sky") == "differs by date"
    assert user.reads(SUNDAY) == "rain"


def test_one_word_for_all_dates_closes_the_dates(user: User) -> None:
    user.pick("day, sky", "mostly cloudy")
    assert skies(user) == ("mostly cloudy",)
    assert user.reads("day, sky") == "mostly cloudy"
    assert not is_seen(user, SUNDAY)
    user.pick("day, sky", "in detail…")
    user.pick(MONDAY, "clear")
    assert skies(user) == ("mostly cloudy", "mostly cloudy", "clear")


def test_an_index_is_typed_and_eighths_become_one(user: User) -> None:
    user.fill(TEXT, "0,7")
    assert skies(user) == (0.7,)
    assert user.reads("day, sky") == "0.70 of clear"
    user.fill(TEXT, "clear; 5/8")
    assert skies(user) == ("clear", 0.69)
    assert user.reads(TEXT) == "clear; 0.69"
    user.pick("day, sky", "mixed")
    assert skies(user) == ("mixed",)


def test_a_text_refused_stays_in_sight(user: User) -> None:
    user.fill(TEXT, "9/8")
    assert "or a day's mean cover as 5/8" in user.note_under(TEXT)
    user.pick("day, sky", "clear")
    assert user.reads("day, sky") == "clear"
    assert skies(user) == ("clear",)
    user.pick("day, sky", "in detail…")
    assert user.reads(TEXT) == "clear"


def test_more_days_have_more_dates(user: User) -> None:
    user.fill("day, days", "4")
    assert user.reads("Wed 21 Apr, sky") == "mixed"
    user.fill("day, days", "1")
    assert user.reads(SUNDAY) == "mixed"
    assert not is_seen(user, MONDAY)


def test_a_finding_of_the_sky_leads_to_its_text(user: User) -> None:
    user.pick("day, sky", "clear")
    user.window.ways.jump_to("day.sky")
    assert user.reads(TEXT) == "clear"


def test_the_choice_says_what_a_word_stands_for(user: User) -> None:
    assert "light over that of a clear day" in user.find("day, sky").accessibleDescription()


def test_a_word_chosen_for_a_date_that_is_gone_changes_nothing(user: User) -> None:
    # The menu was open while another file, or fewer days, took its place.
    buttons = user.window.findChildren(SkyButton)
    menu = buttons[2].menu()
    user.window.document.edit("day.days", 1)
    user.window.document.edit("day.start_hour", 0.0)
    before = user.window.document.scenario
    assert len(dates_of(before)) == 1
    menu.actions()[-1].trigger()
    assert user.window.document.scenario == before
