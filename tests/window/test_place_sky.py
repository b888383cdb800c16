"""The sky chosen in words, for all days or for one, with the eighths behind."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox
from user import User


def cloud(user: User) -> tuple[float, ...]:
    return user.window.document.scenario.day.cloud_okta


def is_seen(user: User, name: str) -> bool:
    return any(
        box.isVisible() and box.accessibleName() == name
        for box in user.window.findChildren(QComboBox)
    )


def test_a_sky_that_differs_shows_a_word_for_each_day_and_the_numbers(user: User) -> None:
    assert user.reads("day, sky") == "differs by day"
    assert user.reads("day 1, sky") == "mostly clear"
    assert user.reads("day 2, sky") == "mixed"
    assert user.reads("day, cloud") == "2 3"


def test_one_day_is_made_overcast_and_undone_in_one_step(user: User) -> None:
    user.pick("day 2, sky", "overcast")
    assert cloud(user) == (2.0, 8.0)
    assert user.reads("day, cloud") == "2 8"
    user.choose("Edit", "Undo change of the sky on day 2")
    assert cloud(user) == (2.0, 3.0)
    assert user.reads("day 2, sky") == "mixed"


def test_one_word_for_all_days_closes_the_days(user: User) -> None:
    user.pick("day, sky", "mostly cloudy")
    assert cloud(user) == (6.0,)
    assert user.reads("day, sky") == "mostly cloudy"
    assert not is_seen(user, "day 2, sky")
    user.pick("day, sky", "in detail…")
    user.pick("day 2, sky", "clear")
    assert cloud(user) == (6.0, 0.0)


def test_own_numbers_are_typed_and_said_to_be_own(user: User) -> None:
    user.fill("day, cloud", "2,5")
    assert cloud(user) == (2.5,)
    assert user.reads("day, sky") == "own numbers"
    user.pick("day, sky", "mixed")
    assert cloud(user) == (4.0,)
    assert user.reads("day, sky") == "mixed"


def test_a_number_refused_stays_in_sight(user: User) -> None:
    user.fill("day, cloud", "9")
    assert "Must be at most 8 okta" in user.note_under("day, cloud")
    user.pick("day, sky", "clear")
    assert user.reads("day, sky") == "clear"
    assert cloud(user) == (0.0,)
    user.pick("day, sky", "in detail…")
    assert user.reads("day, cloud") == "0"


def test_more_days_have_more_skies(user: User) -> None:
    user.fill("day, days", "4")
    assert user.reads("day 4, sky") == "mixed"
    user.fill("day, days", "1")
    assert not is_seen(user, "day 1, sky")
    assert user.reads("day, sky") == "mostly clear"


def test_a_finding_of_the_cloud_leads_to_its_numbers(user: User) -> None:
    user.pick("day, sky", "clear")
    user.window.jump_to("day.cloud_okta")
    assert user.reads("day, cloud") == "0"


def test_the_choice_says_what_overcast_leaves_out(user: User) -> None:
    assert "rain leaves nearer a tenth" in user.find("day, sky").accessibleDescription()
