"""What all posts share, typed: dates, weather, places, ways and plans; and a group begun anew."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import get_args

import pytest

from model.editing.faults import ScenarioError
from model.editing.locator import locator_of
from model.files.scenario_file import read_scenario
from model.group.edit_group import with_text
from model.group.edit_plan import (
    DATE_COLUMNS,
    DateColumn,
    date_text,
    dates_of,
    names_of_places,
    new_group,
    shared_text,
    with_date_text,
    with_locator,
    with_new_route,
    with_place_like,
    with_role_plan,
    with_shared_text,
    without_place,
    without_role_plan,
    without_route,
)
from model.group.group import Group
from model.group.group_file import dump_group, open_group, read_group
from model.group.group_run import run_group
from model.group.kits import LoadedGroup, kits_of
from tests.unit.group_makers import SITE, group_of, kit, post

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "scenarios" / "group" / "autumn-exercise.toml"
RIDGE = ROOT / "scenarios" / "ridge-weekend.toml"


@pytest.fixture(scope="module")
def whole() -> LoadedGroup:
    return read_group(EXAMPLE)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("title", " Winter net ", "Winter net"),
        ("date", "2028-01-15", date(2028, 1, 15)),
        ("start_hour", "6,5", 6.5),
        ("days", "2", 2),
        ("wind_m_s", "18 km/h", 5.0),
        ("posts_needed", "9", 9),
        ("weather_reach_km", "80", 80.0),
    ],
)
def test_a_shared_field_is_read_as_typed(
    whole: LoadedGroup, key: str, text: str, value: object
) -> None:
    changed = with_shared_text(whole.group, key, text)
    assert getattr(changed, key, None) == value or getattr(changed.day, key) == value
    assert with_shared_text(changed, key, shared_text(changed, key)) == changed
    assert with_shared_text(changed, key, shared_text(whole.group, key)) == whole.group


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("days", "2.5"), ("days", "99"), ("date", "soon"), ("start_hour", "25"),
        ("posts_needed", "-1"),
    ],
)  # fmt: skip
def test_a_shared_field_is_refused_in_a_line(whole: LoadedGroup, key: str, text: str) -> None:
    with pytest.raises(ScenarioError) as told:
        with_shared_text(whole.group, key, text)
    (fault,) = told.value.faults
    assert fault.message
    assert "\n" not in str(fault)


def test_one_date_is_given_its_weather_and_the_others_keep_theirs(whole: LoadedGroup) -> None:
    assert dates_of(whole) == ("Fri 22 Oct", "Sat 23 Oct", "Sun 24 Oct", "Mon 25 Oct")
    for column, text, value in (
        ("sky", "Rain", "rain"), ("sky", "0,45", 0.45), ("bad_sky", "clear", "clear"),
        ("low_c", "-2", -2.0), ("high_c", "50 F", 10.0),
    ):  # fmt: skip
        before = [date_text(whole.group, at, column) for at in range(4)]  # type: ignore[arg-type]
        changed = with_date_text(whole, 2, column, text)  # type: ignore[arg-type]
        now = [date_text(changed, at, column) for at in range(4)]  # type: ignore[arg-type]
        assert now[2] == (value if isinstance(value, str) else f"{value:g}")
        assert [*now[:2], now[3]] == [*before[:2], before[3]]


def test_every_column_of_the_dates_refuses_what_it_cannot_read(whole: LoadedGroup) -> None:
    assert get_args(DateColumn) == DATE_COLUMNS
    for column in DATE_COLUMNS:
        with pytest.raises(ScenarioError) as told:
            with_date_text(whole, 0, column, "foggy")
        assert len(told.value.faults) == 1
    with pytest.raises(ScenarioError):
        with_date_text(whole, 0, "low_c", "400")


def test_a_changed_sky_changes_the_run_of_that_date() -> None:
    kits = [kit(20.0, panel={"rated_w": 20.0, "vmp_v": 18.0, "voc_v": 22.0})]
    made = group_of(kits, day={"days": 2})
    darker = made.with_group(with_date_text(made, 1, "sky", "overcast"))
    bright, dark = (run_group(each).posts[0].planned for each in (made, darker))
    assert bright is not None
    assert dark is not None
    assert dark.end_fraction < bright.end_fraction


def test_a_renamed_place_is_followed_by_posts_spares_and_ways(whole: LoadedGroup) -> None:
    at = [place.name for place in whole.group.places].index("Crown Hill")
    changed = with_text(whole.group, "places", at, "name", "Bald Hill")
    assert "Crown Hill" not in dump_group(changed)
    assert changed.posts[1].place == "Bald Hill"
    assert any("Bald Hill" in route.between for route in changed.routes)
    sites = [each.site.latitude_deg for each in kits_of(whole.with_group(changed))]
    assert sites == [each.site.latitude_deg for each in kits_of(whole)]


def test_two_places_never_have_one_name(whole: LoadedGroup) -> None:
    with pytest.raises(ScenarioError) as told:
        with_text(whole.group, "places", 1, "name", whole.group.places[0].name)
    assert "each needs its own" in str(told.value.faults[0])


def test_a_place_is_typed_in_degrees_or_as_a_locator(whole: LoadedGroup) -> None:
    moved = with_locator(whole.group, 0, "jo50jq")
    site = moved.places[0]
    assert locator_of(site.latitude_deg, site.longitude_deg) == "JO50jq"
    assert site.name == whole.group.places[0].name
    typed = with_text(whole.group, "places", 0, "latitude_deg", "-33.5")
    assert typed.places[0].latitude_deg == -33.5
    for text in ("XX99", "95"):
        with pytest.raises(ScenarioError):
            with_locator(whole.group, 0, text)
    with pytest.raises(ScenarioError):
        with_text(whole.group, "places", 0, "latitude_deg", "95")
    with pytest.raises(ScenarioError):
        with_text(whole.group, "places", 0, "timezone", "Nowhere/Else")


def test_places_come_and_go() -> None:
    made = group_of([kit(20.0)])
    first = with_place_like(made, None)
    assert first.places[0].model_copy(update={"name": SITE["name"]}) == kits_of(made)[0].site
    second = with_place_like(made.with_group(first), 0)
    assert len({place.name for place in second.places}) == 2
    assert without_place(second, 0).places == second.places[1:]


def test_a_new_way_is_between_two_places_that_have_none() -> None:
    kits = [kit(20.0), kit(20.0), kit(20.0)]
    posts = [post(n, n, place=name) for n, name in enumerate(("Base", "Hill", "Ford"), start=1)]
    made = group_of(kits, posts)
    assert names_of_places(made) == ("Base", "Hill", "Ford")
    found = set()
    for _ in range(3):
        made = made.with_group(with_new_route(made))
        found.add(frozenset(made.group.routes[-1].between))
    assert len(found) == 3
    with pytest.raises(ScenarioError):
        with_new_route(made)
    typed = with_text(made.group, "routes", 0, "hours", "30 min")
    assert typed.routes[0].hours == 0.5
    moved = with_text(made.group, "routes", 0, "between.1", "Mill")
    assert moved.routes[0].between == ("Base", "Mill")
    assert len(without_route(made.group, 1).routes) == 2


def test_a_role_works_a_plan_or_those_of_its_kits(whole: LoadedGroup) -> None:
    plan = read_scenario(RIDGE).plan
    changed = with_role_plan(whole.group, "shelter", plan)
    for each in kits_of(whole.with_group(changed)):
        assert (each.plan == plan) == (each.post.role == "shelter")
    back = without_role_plan(changed, "shelter")
    files = dict(whole.scenarios)
    for each in kits_of(whole.with_group(back)):
        if each.post.role == "shelter":
            assert each.plan == files[each.post.scenario].plan
    added = with_role_plan(back, "shelter", plan)
    assert [each.role for each in added.plans].count("shelter") == 1


def test_a_new_group_has_a_post_for_each_station_and_runs_as_the_scenario(tmp_path: Path) -> None:
    scenario = read_scenario(RIDGE)
    (tmp_path / "kits.toml").write_bytes(RIDGE.read_bytes())
    group = new_group(scenario, "kits.toml")
    whole = open_group(dump_group(group).encode(), tmp_path)
    assert whole.group == group
    rows = run_group(whole).posts
    assert [row.kit.station for row in rows] == list(scenario.stations)
    assert rows[0].kit.post.role == "net control"
    assert all(row.kit.plan == scenario.plan for row in rows)
    assert rows[0].lasts
    assert not rows[1].lasts
    assert isinstance(group, Group)


def test_a_file_that_a_group_cannot_name_is_refused() -> None:
    with pytest.raises(ScenarioError):
        new_group(read_scenario(RIDGE), ".hidden.toml")
