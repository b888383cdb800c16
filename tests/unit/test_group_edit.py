"""What is typed into a group's tables is read as a field is, or refused in a line."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from model.editing.faults import ScenarioError
from model.group.edit_group import (
    with_post_like,
    with_spare_like,
    with_text,
    without_post,
    without_spare,
)
from model.group.group import POSTS_LIMIT, Group
from model.group.group_file import is_group, read_group, title_of
from model.group.kits import LoadedGroup
from model.group.typed_fields import text_of

EXAMPLE = Path(__file__).parents[2] / "scenarios" / "group" / "autumn-exercise.toml"


@pytest.fixture(scope="module")
def whole() -> LoadedGroup:
    return read_group(EXAMPLE)


@pytest.fixture(scope="module")
def group(whole: LoadedGroup) -> Group:
    return whole.group


def refused(group: Group, key: str, text: str) -> str:
    with pytest.raises(ScenarioError) as told:
        with_text(group, "posts", 1, key, text)
    (fault,) = told.value.faults
    assert fault.path.startswith("posts.1")
    return str(fault)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("role", " night relay ", "night relay"),
        ("station", "1", 1),
        ("frequency_mhz", "3650 kHz", 3.65),
        ("frequency_mhz", "", None),
        ("battery_test_due", "2028-03-01", date(2028, 3, 1)),
        ("battery_test_due", "", None),
    ],
)
def test_a_field_is_read_as_typed_and_shown_as_it_can_be_typed_again(
    group: Group, key: str, text: str, value: object
) -> None:
    changed = with_text(group, "posts", 1, key, text)
    assert getattr(changed.posts[1], key) == value
    assert changed.posts[2:] == group.posts[2:]
    again = with_text(changed, "posts", 1, key, text_of(changed.posts[1], key))
    assert again == changed


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("station", "two", "must be a whole number"),
        ("battery_test_due", "1 March", "must be a date such as 2027-03-01"),
        ("frequency_mhz", "loud", "loud"),
        ("frequency_mhz", "-3", "-3"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place(
    group: Group, key: str, text: str, words: str
) -> None:
    assert words in refused(group, key, text).replace("\N{MINUS SIGN}", "-")


def test_a_relay_is_followed_under_another_number_and_forgotten_when_it_goes(group: Group) -> None:
    served = [at for at, post in enumerate(group.posts) if post.relay == "02"]
    assert served
    renamed = with_text(group, "posts", 1, "kit", "77")
    assert [renamed.posts[at].relay for at in served] == ["77"] * len(served)
    gone = without_post(group, 1)
    assert len(gone.posts) == len(group.posts) - 1
    assert "02" not in {post.relay for post in gone.posts}


def test_one_more_post_is_like_another_under_a_free_number(group: Group) -> None:
    more = with_post_like(group, 0)
    assert more.posts[1].kit == "16"
    assert more.posts[1].role == group.posts[0].role
    assert more.posts[1].battery_test_due is None
    while len(more.posts) < POSTS_LIMIT:
        more = with_post_like(more, 0)
    with pytest.raises(ScenarioError):
        with_post_like(more, 0)


def test_a_spare_is_a_part_like_that_of_a_post_and_can_be_taken_out_again(
    whole: LoadedGroup,
) -> None:
    more = with_spare_like(whole, 0, "battery")
    spare, post = more.spares[-1], whole.group.posts[0]
    station = dict(whole.scenarios)[post.scenario].stations[post.station - 1]
    assert (spare.battery, spare.where) == (station.battery, post.place)
    half = with_text(more, "spares", len(more.spares) - 1, "start_fraction", "0.5")
    assert text_of(half.spares[-1], "start_fraction") == "0.5"
    assert without_spare(more, len(more.spares) - 1) == whole.group
    without = next(
        at
        for at, each in enumerate(whole.group.posts)
        if dict(whole.scenarios)[each.scenario].stations[each.station - 1].panel is None
    )
    with pytest.raises(ScenarioError, match="has no panel"):
        with_spare_like(whole, without, "panel")


def test_a_group_is_told_from_other_files_by_its_bytes() -> None:
    data = EXAMPLE.read_bytes()
    assert is_group(data)
    assert title_of(data) == "Autumn exercise of fifteen posts"
    assert title_of(b"posts = 1\ntitle = 3") == ""
    assert not is_group(b"[[stations]]\n[[posts]]")
    assert not is_group(b"posts = [")
    assert not is_group((EXAMPLE.parent / "kits-net.toml").read_bytes())
