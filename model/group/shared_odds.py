"""The odds of a group: posts near each other share one sky, each under its own sun.

Every trial trip draws one weather for all posts in reach of each other, one factor on how much is
transmitted, and one error for numbers that share one. What each post then does is its own run.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC

import numpy as np
from numpy.random import default_rng
from numpy.typing import NDArray

from model.engine.batch import FleetStep, search_batch
from model.engine.batch_notes import NEVER
from model.engine.comparison import COARSE_STEP_MIN
from model.group.group_run import GroupResult
from model.group.kits import PostKit, net_control_of
from model.group.reach import weathers
from model.odds.drawn_weather import drawn_weather
from model.odds.sampling import Draw, draw
from model.odds.shares import Share, share_of
from model.odds.spread_fleet import COLD, PLAN_KEPT, drawn_fleet
from model.odds.trips import Basis, DrawnSkies, draw_cold, draw_plan_kept, draw_skies
from model.sky.sun_times import night_spans
from model.sky.timeline import Floats, timeline
from model.support.progress import Search, finish, within

USUAL_SKIES = 500
MOST_SKIES = 100_000
# So many steps of trips are held at once.
STEPS_AT_ONCE = 900_000
Booleans = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class PostOdds:
    """What became of one post in the trial trips; arrays of shape (trips,).

    Attributes
    ----------
    receive : share of the trips in which it is on the air to the end.
    night : share in which it is on the air in all dark hours of the run.
    receives, all_night : whether it is so in each trip.
    off_air_h : when it is first off the air, inf where it never is [h].
    lowest_fraction : least charge [1].
    """

    receive: Share
    night: Share
    receives: Booleans
    all_night: Booleans
    off_air_h: Floats
    lowest_fraction: Floats


@dataclass(frozen=True, eq=False)
class GroupOdds:
    """The odds of all posts, and of the net.

    Attributes
    ----------
    skies : how many trips were drawn.
    basis : where their skies come from.
    weathers : how many weathers each trip has, of posts out of each other's reach.
    posts : of each post, in the order of the file; None where it is not run.
    net_control : number of its kit; None where no post has that role.
    at_least : share of the trips in which net control and at least so many other posts are on the
        air in all dark hours, from 0 others on; without a net control, so many posts.
    """

    skies: int
    basis: Basis
    weathers: int
    posts: tuple[PostOdds | None, ...]
    net_control: str | None
    at_least: tuple[Share, ...]


def group_odds(result: GroupResult, skies: int = USUAL_SKIES, seed: int = 0) -> GroupOdds:
    """Return the odds of a group; see ``search_group_odds``."""
    return finish(search_group_odds(result, skies, seed))


def with_odds(result: GroupResult, found: GroupOdds) -> GroupResult:
    """Return a result whose rows carry their odds."""
    rows = tuple(
        row if odds is None else replace(row, odds=odds.receive, night_odds=odds.night)
        for row, odds in zip(result.posts, found.posts, strict=True)
    )
    return replace(result, posts=rows)


def search_group_odds(
    result: GroupResult,
    skies: int = USUAL_SKIES,
    seed: int = 0,
    *,
    step_min: float = COARSE_STEP_MIN,
) -> Search[GroupOdds]:
    """Run every post through the same trial trips.

    Parameters
    ----------
    result : the posts; those that are not run there are off the air in every trip.
    skies : how many trips.
    seed : the same one gives the same trips.
    step_min : length of a step [min].

    Returns
    -------
    Gives the share done, 0..1, and at its end the odds.

    Raises
    ------
    ValueError
        For fewer than one trip.
    """
    if skies < 1:
        raise ValueError(f"must be at least 1 sky, got {skies}")
    kits = tuple(row.kit for row in result.posts)
    drawn = _draw(result, kits, skies, seed)
    posts: list[PostOdds | None] = []
    for index, kit in enumerate(kits):
        begin, end = index / len(kits), (index + 1) / len(kits)
        yield begin
        post = None
        if kit.runs:
            post = yield from within(_search_post(kit, drawn, index, step_min), begin, end)
        posts.append(post)
    control = net_control_of(kits)
    return GroupOdds(
        skies,
        drawn.skies[0].basis,
        len(drawn.skies),
        tuple(posts),
        control.post.kit if control is not None else None,
        tuple(_at_least(kits, posts, control, drawn)),
    )


@dataclass(frozen=True, eq=False)
class _Drawn:
    """What all posts share in each trip, and which weather and errors are whose."""

    trips: int
    skies: tuple[DrawnSkies, ...]
    weather: tuple[int, ...]
    plan_kept_factor: Floats | None
    cold_fraction: Floats | None
    numbers: tuple[dict[str, Draw], ...]

    def factors(self, index: int, which: slice) -> dict[str, Floats]:
        """Return the factors of one post in some of the trips."""
        found = {path: one.factor[which] for path, one in self.numbers[index].items()}
        if self.plan_kept_factor is not None:
            found[PLAN_KEPT] = self.plan_kept_factor[which]
        if self.cold_fraction is not None:
            found[COLD] = self.cold_fraction[which]
        return found

    def share(self, index: int, met: Booleans) -> Share:
        """Return a share of the trips with the bounds of a post's skies."""
        skies = self.skies[self.weather[index]]
        return share_of(met, skies, skies.days.index.shape[1])


def _draw(result: GroupResult, kits: tuple[PostKit, ...], trips: int, seed: int) -> _Drawn:
    chance, group = default_rng(seed), result.whole.group
    of = weathers([kit.site for kit in kits], group.weather_reach_km)
    first = [of.index(number) for number in range(max(of) + 1)]
    skies = tuple(draw_skies(kits[index].question, trips, chance) for index in first)
    blocks = tuple(block for kit in kits for block in kit.plan)
    kept = draw_plan_kept(blocks, trips, chance)
    stations = [kit.station for kit in kits]
    numbers = draw([(kit.station, kit.shared) for kit in kits], trips, chance)
    return _Drawn(trips, skies, of, kept, draw_cold(stations, trips, chance), numbers)


def _search_post(kit: PostKit, drawn: _Drawn, index: int, step_min: float) -> Search[PostOdds]:
    is_dark = dark_steps(kit, step_min)
    receives, all_night, off_air, lowest = [], [], [], []
    slices = list(_slices(drawn.trips, is_dark.size))
    for number, which in enumerate(slices):
        days = drawn.skies[drawn.weather[index]].days.of(which)
        weather = drawn_weather(kit.site, kit.trip, days, step_min)
        fleet = drawn_fleet(
            kit.site, kit.trip, kit.plan, kit.station, kit.shared,
            drawn.factors(index, which), weather,
        )  # fmt: skip
        watch = _NightWatch(is_dark, fleet.members)
        search = search_batch(fleet, watch)
        begin, end = number / len(slices), (number + 1) / len(slices)
        found = yield from within(search, begin, end)
        receives.append(found.receive == NEVER)
        all_night.append(watch.on_air)
        off_air.append(found.hours(found.receive))
        lowest.append(found.lowest_fraction)
    on_air, by_night = np.concatenate(receives), np.concatenate(all_night)
    return PostOdds(
        drawn.share(index, on_air), drawn.share(index, by_night), on_air, by_night,
        np.concatenate(off_air), np.concatenate(lowest),
    )  # fmt: skip


def dark_steps(kit: PostKit, step_min: float) -> Booleans:
    """Return the steps whose middle lies in the dark of the post's own place, shape (steps,).

    Parameters
    ----------
    step_min : length of a step [min].

    Returns
    -------
    Whether the sun is below -6 deg, civil dusk to dawn.
    """
    clock = timeline(kit.site, kit.trip, step_min)
    is_dark = np.zeros(clock.steps, dtype=np.bool_)
    middle_min = clock.middles_min()
    for begin, end in night_spans(kit.site, kit.trip, step_min):
        begin_min, end_min = (
            (at.astimezone(UTC) - clock.start.astimezone(UTC)).total_seconds() / 60
            for at in (begin, end)
        )
        is_dark |= (middle_min >= begin_min) & (middle_min < end_min)
    return is_dark


class _NightWatch:
    """Keeps who is on the air in all dark steps."""

    def __init__(self, is_dark: Booleans, members: int) -> None:
        self._is_dark = is_dark
        self.on_air: Booleans = np.ones(members, dtype=np.bool_)

    def __call__(self, moment: FleetStep) -> None:
        if self._is_dark[moment.step]:
            self.on_air &= moment.receives


def _slices(trips: int, steps: int) -> Iterator[slice]:
    at_once = max(STEPS_AT_ONCE // steps, 1)
    for begin in range(0, trips, at_once):
        yield slice(begin, min(begin + at_once, trips))


def _at_least(
    kits: tuple[PostKit, ...], posts: list[PostOdds | None], control: PostKit | None, drawn: _Drawn
) -> Iterator[Share]:
    """Yield the shares for 0, 1, 2 ... other posts; a post that is not run is off the air."""
    silent = np.zeros(drawn.trips, dtype=np.bool_)
    on_air = [silent if post is None else post.all_night for post in posts]
    place = kits.index(control) if control is not None else 0
    others = [each for index, each in enumerate(on_air) if control is None or index != place]
    count = np.sum(others, axis=0) if others else np.zeros(drawn.trips)
    with_control = on_air[place] if control is not None else np.ones(drawn.trips, dtype=np.bool_)
    for number in range(len(others) + 1):
        yield drawn.share(place, with_control & (count >= number))
