"""What a group and the scenarios it names make together: one kit at each post."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from model.findings.rules import find_errors
from model.group.group import NET_CONTROL, RELAY, Group, Post
from model.scenario.climate import Climate
from model.scenario.power import Panel
from model.scenario.scenario import Block, Scenario, Site
from model.scenario.station import Extra, Station
from model.sky.trip import Trip, planned_on
from model.station.carried_mass import shared_extras


@dataclass(frozen=True)
class LoadedGroup:
    """A group with the scenarios that its posts name, by their file names."""

    group: Group
    scenarios: tuple[tuple[str, Scenario], ...]

    def with_group(self, group: Group) -> LoadedGroup:
        """Return the same scenarios with another group that names no other file."""
        return replace(self, group=group)


@dataclass(frozen=True)
class PostKit:
    """The kit of one post as it is run.

    Attributes
    ----------
    post : the roster's line.
    question : the kit as a scenario of one station, with the place, dates and plan of the post.
    station, site, plan, shared : as ``run_station`` takes them.
    trip, bad_trip : dates with the planned weather and with the bad one.
    lacks : parts without which nothing is on the air, taken away in a drill.
    unplugged : a panel whose controller was taken away: it is not connected without one.
    withheld : why it cannot be run; None where it can.
    """

    post: Post
    question: Scenario
    shared: tuple[Extra, ...]
    trip: Trip
    bad_trip: Trip
    lacks: tuple[str, ...] = ()
    unplugged: Panel | None = None
    withheld: str | None = field(default=None)

    @property
    def station(self) -> Station:
        """The kit itself."""
        return self.question.stations[0]

    @property
    def site(self) -> Site:
        """Where it stands."""
        return self.question.site

    @property
    def plan(self) -> tuple[Block, ...]:
        """What it works."""
        return self.question.plan

    @property
    def name(self) -> str:
        """How sentences call it."""
        return f"post {self.post.kit}"

    @property
    def runs(self) -> bool:
        """Whether there is anything to run."""
        return self.withheld is None and not self.lacks

    def with_station(self, station: Station) -> PostKit:
        """Return the post with another kit, checked anew."""
        question = self.question.model_copy(update={"stations": (station,)})
        return replace(self, question=question, withheld=_withheld(question))


def standing(group: Group, post: Post, scenario: Scenario) -> Site:
    """Return where a post stands: the place of its name, else that of its scenario."""
    return next((site for site in group.places if site.name == post.place), scenario.site)


def place_of(kit: PostKit) -> str:
    """Return the name of the place that routes lead to."""
    return kit.post.place or kit.site.name


def kits_of(whole: LoadedGroup) -> tuple[PostKit, ...]:
    """Return the kit of every post, in the order of the file."""
    files = dict(whole.scenarios)
    return tuple(_kit(whole.group, post, files) for post in whole.group.posts)


def _kit(group: Group, post: Post, files: Mapping[str, Scenario]) -> PostKit:
    scenario, index = files[post.scenario], post.station - 1
    plans = {plan.role: plan.blocks for plan in group.plans}
    climate: Climate | None = group.climate or scenario.climate
    bad_day = group.day.model_copy(update={"sky": group.bad_sky})
    question = scenario.model_copy(
        update={
            "title": f"{group.title}: post {post.kit}",
            "site": standing(group, post, scenario),
            "day": group.day,
            "climate": climate,
            "plan": plans.get(post.role, scenario.plan),
            "stations": (scenario.stations[index],),
            "variants": (),
        }
    )
    return PostKit(
        post=post,
        question=question,
        shared=shared_extras(scenario, index),
        trip=planned_on(group.day, climate),
        bad_trip=planned_on(bad_day, climate),
        withheld=_withheld(question),
    )


def _withheld(question: Scenario) -> str | None:
    """Return the error that keeps a kit from being run, None where none does."""
    return next((each.sentence for each in find_errors(question) if each.withholds), None)


def net_control_of(kits: tuple[PostKit, ...]) -> PostKit | None:
    """Return net control: the first post of that role; None where there is none."""
    return next((kit for kit in kits if is_net_control(kit.post)), None)


def is_net_control(post: Post) -> bool:
    """Return whether a post's role is net control, however it is written."""
    return _plain(post.role) == NET_CONTROL


def is_relay(post: Post, posts: tuple[Post, ...]) -> bool:
    """Return whether others' traffic goes through a post: by its role, or because they name it."""
    return _plain(post.role) == RELAY or any(other.relay == post.kit for other in posts)


def _plain(words: str) -> str:
    return " ".join(words.casefold().split())
