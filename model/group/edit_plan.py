"""Changes of what the posts share: title, dates, weather, places, ways, plans by role."""

from __future__ import annotations

from itertools import combinations
from typing import Any, Literal, get_args

from model.editing.faults import Fault, ScenarioError, shown
from model.editing.locator import read_locator
from model.editing.units import EntryError, read_entry
from model.group.group import NET_CONTROL, TITLE_LIMIT, Group, RolePlan, Route
from model.group.kits import LoadedGroup, kits_of, place_of, standing
from model.group.routes import place_key
from model.group.typed_fields import as_group, fields_of, text_of, with_field, with_values
from model.scenario.daily import SKY_WORDS, SkyWord
from model.scenario.scenario import Block, Scenario
from model.sky.cloud_words import sky_from_text, with_sky
from model.sky.timeline import date_name, timeline

# Fields of the day; the other shared ones are the group's own.
DAY_KEYS = ("date", "start_hour", "days", "wind_m_s")
NEW_ROUTE_H = 1.0
DateColumn = Literal["sky", "bad_sky", "low_c", "high_c"]
DATE_COLUMNS: tuple[DateColumn, ...] = get_args(DateColumn)


def shared_text(group: Group, key: str) -> str:
    """Return a field that all posts share as it is typed."""
    return text_of(group.day if key in DAY_KEYS else group, key)


def with_shared_text(group: Group, key: str, text: str) -> Group:
    """Return a group with another text in a field that all its posts share.

    Raises
    ------
    ScenarioError
        When the text is refused; its faults say why.
    """
    if key in DAY_KEYS:
        return with_values(group, {"day": with_field("day", group.day, key, text)})
    changed: Group = with_field("group", group, key, text)
    return changed


def dates_of(whole: LoadedGroup) -> tuple[str, ...]:
    """Return the names of the local dates that the run touches, at the first post."""
    group = whole.group
    post = group.posts[0]
    site = standing(group, post, dict(whole.scenarios)[post.scenario])
    return tuple(date_name(date) for date in timeline(site, group.day).dates)


def date_text(group: Group, at: int, column: DateColumn) -> str:
    """Return the sky, the bad sky, the low or the high of one date as it is typed."""
    values = _by_date(group, column)
    value = values[min(at, len(values) - 1)]
    return value if isinstance(value, str) else f"{value:g}"


def with_date_text(whole: LoadedGroup, at: int, column: DateColumn, text: str) -> Group:
    """Return a group with another sky, bad sky, low or high on one date.

    Raises
    ------
    ScenarioError
        When the text is refused; its faults say why.
    """
    group = whole.group
    path = f"day.{column}" if column != "bad_sky" else column
    try:
        value = _sky(group, text) if column.endswith("sky") else read_entry(text, "°C").value
    except (ValueError, EntryError) as error:
        raise ScenarioError((Fault(path, str(error)),)) from None
    # Lows and highs go on with their last as skies do.
    values = with_sky(_by_date(group, column), value, at, len(dates_of(whole)))
    if column == "bad_sky":
        return with_values(group, {"bad_sky": values})
    return with_values(group, {"day": fields_of(group.day) | {column: values}})


def _by_date(group: Group, column: DateColumn) -> tuple[Any, ...]:
    values: tuple[Any, ...] = getattr(group if column == "bad_sky" else group.day, column)
    return values


def _sky(group: Group, text: str) -> SkyWord | float:
    sky = sky_from_text(text, group.climate)
    if sky is None:
        raise ValueError(
            f"must be one of {', '.join(SKY_WORDS)}, eighths of cloud such as 5/8, or the day's"
            f" clear-sky index; got {shown(text)}"
        )
    return sky


def with_place_like(whole: LoadedGroup, index: int | None) -> Group:
    """Return a group with one more place, like another; the first is like that of the first kit.

    Raises
    ------
    ScenarioError
        When there are as many as a group holds.
    """
    group = whole.group
    site = group.places[index] if index is not None else kits_of(whole)[0].site
    taken = {place_key(each.name) for each in group.places}
    names = (f"Place {number}" for number in range(1, len(taken) + 2))
    free = next(name for name in names if place_key(name) not in taken)
    return with_values(group, {"places": (*group.places, site.model_copy(update={"name": free}))})


def without_place(group: Group, index: int) -> Group:
    """Return a group with one place less; a post there then stands where its scenario does."""
    return with_values(group, {"places": (*group.places[:index], *group.places[index + 1 :])})


def with_locator(group: Group, index: int, text: str) -> Group:
    """Return a group with a place in the middle of a locator's square; ScenarioError otherwise."""
    try:
        latitude_deg, longitude_deg = read_locator(text)
    except ValueError as error:
        raise ScenarioError((Fault(f"places.{index}", str(error)),)) from None
    where = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
    moved = group.places[index].model_copy(update=where)
    places = (*group.places[:index], moved, *group.places[index + 1 :])
    return with_values(group, {"places": places})


def names_of_places(whole: LoadedGroup) -> tuple[str, ...]:
    """Return every place that a way can lead to: of posts, of spares, and those named alone."""
    group = whole.group
    names = [
        *(place_of(kit) for kit in kits_of(whole)),
        *(spare.where for spare in group.spares),
        *(place.name for place in group.places),
    ]
    return tuple({place_key(name): name for name in reversed(names) if name}.values())[::-1]


def with_new_route(whole: LoadedGroup) -> Group:
    """Return a group with a way of one hour between the first two places that have none.

    Raises
    ------
    ScenarioError
        When every two places have one, or there are as many as a group holds.
    """
    group = whole.group
    known = {frozenset(map(place_key, route.between)) for route in group.routes}
    for pair in combinations(names_of_places(whole), 2):
        if frozenset(map(place_key, pair)) not in known:
            route = Route(between=pair, hours=NEW_ROUTE_H)
            return with_values(group, {"routes": (*group.routes, route)})
    raise ScenarioError((Fault("routes", "every two places have a way between them"),))


def without_route(group: Group, index: int) -> Group:
    """Return a group with one way less."""
    return with_values(group, {"routes": (*group.routes[:index], *group.routes[index + 1 :])})


def with_role_plan(group: Group, role: str, blocks: tuple[Block, ...]) -> Group:
    """Return a group in which all posts of a role work one plan.

    Raises
    ------
    ScenarioError
        When there are as many plans as a group holds.
    """
    plan = RolePlan.model_validate({"role": role, "blocks": blocks})
    if any(each.role == role for each in group.plans):
        plans = tuple(plan if each.role == role else each for each in group.plans)
    else:
        plans = (*group.plans, plan)
    return with_values(group, {"plans": plans})


def without_role_plan(group: Group, role: str) -> Group:
    """Return a group in which each post of a role works the plan of its kit's scenario."""
    return with_values(group, {"plans": tuple(each for each in group.plans if each.role != role)})


def new_group(scenario: Scenario, file_name: str) -> Group:
    """Return a group of the stations of a scenario, a post each, the first net control.

    Parameters
    ----------
    file_name : of the scenario, beside the group's file.

    Raises
    ------
    ScenarioError
        When a group cannot name such a file.
    """
    posts = [
        {
            "kit": f"{number:02d}",
            "scenario": file_name,
            "station": number,
            "role": NET_CONTROL if number == 1 else "post",
            "place": scenario.site.name,
        }
        for number in range(1, len(scenario.stations) + 1)
    ]
    return as_group(
        {
            "title": f"Group: {scenario.title}"[:TITLE_LIMIT] if scenario.title else "New group",
            "day": scenario.day,
            "climate": scenario.climate,
            "places": (scenario.site,) if scenario.site.name else (),
            "posts": posts,
        }
    )
