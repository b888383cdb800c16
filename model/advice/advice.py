"""What reruns say: the cure that gains most, what would flip the verdict, clear and overcast."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from model.advice.actions import Action, all_actions
from model.advice.merit import acts_on, price
from model.editing.paths import value_at, with_value
from model.engine.comparison import Comparison
from model.engine.first_end import hours_to_first_end
from model.engine.run import StationRun, run_station
from model.results.tie_point import first_end_h, search_tie
from model.results.wording import called, capital, end_moment, listed
from model.scenario.daily import SkyWord
from model.scenario.scenario import Scenario
from model.sky.trip import planned
from model.station.carried_mass import shared_extras
from model.support.figures import amount, change, duration, entered
from model.support.progress import Search, finish, within
from model.verdict.order import first_clock, ranking
from model.verdict.sentences import end_words

SKIES: tuple[SkyWord, SkyWord] = ("clear", "overcast")


@dataclass(frozen=True)
class Cure:
    """An action with what it gains on the first end of its station.

    ``gained_h`` is inf where the station then lasts out the run [h].
    """

    action: Action
    gained_h: float

    @property
    def words(self) -> str:
        """The gain in words."""
        return "lasts" if self.gained_h == inf else change(self.gained_h)


@dataclass(frozen=True)
class Flip:
    """A value of one input at which two stations tie, proved by a rerun.

    ``path`` is the input, ``value`` where they tie, ``now`` what it is; ``both_last`` says that
    neither ends there.
    """

    path: str
    label: str
    unit: str
    now: float
    value: float
    stations: tuple[int, int]
    both_last: bool


@dataclass(frozen=True)
class SkyCase:
    """What becomes of one station under another sky, in a clause."""

    station: int
    clear: str
    overcast: str


@dataclass(frozen=True)
class Counsel:
    """Everything that took reruns; ``sentences`` say it in words."""

    cures: tuple[Cure, ...]
    flips: tuple[Flip, ...]
    skies: tuple[SkyCase, ...]
    sentences: tuple[str, ...]


def counsel(comparison: Comparison) -> Counsel:
    """Return cures for the station that ends first, flips against the others, and both skies."""
    return finish(search_counsel(comparison))


def search_counsel(comparison: Comparison) -> Search[Counsel]:
    """Look for cures and flips, and run both skies; a share is told between reruns."""
    order = ranking(comparison)
    if not order:
        return Counsel((), (), (), ())
    worst = order[0][1]
    skies = sky_cases(comparison)
    yield 0.1
    found: tuple[Cure, ...] = ()
    if order[0][0] < inf:
        found = yield from search_cures(comparison, worst)
    turned = yield from search_flips(comparison)
    return Counsel(found, turned, skies, tuple(_sentences(comparison, worst, found, turned, skies)))


def cures(comparison: Comparison, index: int) -> tuple[Cure, ...]:
    """Return what helps one station, the greatest gain first; only what gains a minute or more."""
    return finish(search_cures(comparison, index))


def search_cures(comparison: Comparison, index: int) -> Search[tuple[Cure, ...]]:
    """Look for what helps one station, as ``cures`` returns it.

    Of equals, above all of those that last to the end, the one that acts on the cause comes
    first, then the one with the smaller price.
    """
    run = comparison.runs[index]
    if run is None:
        return ()
    now_h = first_end_h(run)
    gained = []
    for action in all_actions(comparison.scenario, index):
        yield 0.2
        then_h = _first_end_h(action.changed, index)
        if then_h > now_h + 1 / 60:
            gained.append(Cure(action, then_h - now_h))
    ended = first_clock(run)
    return tuple(
        sorted(
            gained,
            key=lambda cure: (
                -cure.gained_h,
                ended is None or not acts_on(cure.action, ended[1]),
                price(comparison.scenario, index, cure.action),
            ),
        )
    )


def rerun(scenario: Scenario, index: int) -> StationRun:
    """Run one station of a scenario."""
    return run_station(
        scenario.site,
        planned(scenario),
        scenario.plan,
        scenario.stations[index],
        shared_extras(scenario, index),
    )


def _first_end_h(scenario: Scenario, index: int) -> float:
    """Return when a rerun first ends, inf where it never does [h]."""
    station = scenario.stations[index]
    shared = shared_extras(scenario, index)
    return hours_to_first_end(scenario.site, planned(scenario), scenario.plan, station, shared)


def under_sky(scenario: Scenario, word: SkyWord) -> Scenario:
    """Return the scenario with one sky on all dates."""
    day = scenario.day.model_copy(update={"sky": (word,)})
    return scenario.model_copy(update={"day": day})


_FLIP_INPUTS = (
    ("radio.receive_a", "receive current", "A"),
    ("battery.capacity_ah", "battery capacity", "Ah"),
    ("panel.rated_w", "panel power", "W"),
    ("amplifier.operate_a", "amplifier operate current", "A"),
)
# What is several times as large or as small is another part rather than another number.
FLIP_FACTOR = 4.0


def flips(comparison: Comparison) -> tuple[Flip, ...]:
    """Return the inputs of the first two to end whose change would make them tie."""
    return finish(search_flips(comparison))


def search_flips(comparison: Comparison) -> Search[tuple[Flip, ...]]:
    """Look for inputs whose change, to a quarter or four times at most, makes the first two tie."""
    order = ranking(comparison)
    if len(order) < 2 or order[0][0] == inf or order[1][0] - order[0][0] <= 1 / 60:
        return ()
    pair = (order[0][1], order[1][1])
    found: list[Flip] = []
    for index in pair:
        for field, label, unit in _FLIP_INPUTS:
            slot = field.split(".")[0]
            if getattr(comparison.scenario.stations[index], slot) is None:
                continue
            path = f"stations.{index}.{field}"
            now = float(value_at(comparison.scenario, path))
            if now <= 0:
                continue
            come = 0.4 + 0.5 * len(found) / (2 * len(_FLIP_INPUTS))
            yield come
            tie = search_tie(
                comparison.scenario,
                path,
                now / FLIP_FACTOR,
                now * FLIP_FACTOR,
                stations=pair,
                now=now,
            )
            value = yield from within(tie, come, come)
            if value is not None:
                tied = with_value(comparison.scenario, path, value)
                lasts = _first_end_h(tied, index) == inf
                found.append(Flip(path, label, unit, now, value, pair, lasts))
    return tuple(sorted(found, key=lambda flip: abs(flip.value / flip.now - 1)))


def sky_cases(comparison: Comparison) -> tuple[SkyCase, ...]:
    """Return what becomes of each station under a clear and under an overcast sky."""
    cases = []
    for index, run in enumerate(comparison.runs):
        # Without a panel one sky is like the other.
        if run is None or run.station.panel is None:
            continue
        clear, grey = (
            end_words(rerun(under_sky(comparison.scenario, word), index)) for word in SKIES
        )
        cases.append(SkyCase(index, clear, grey))
    return tuple(cases)


def _sentences(
    comparison: Comparison,
    worst: int,
    found: tuple[Cure, ...],
    turned: tuple[Flip, ...],
    skies: tuple[SkyCase, ...],
) -> list[str]:
    sentences = []
    scenario = comparison.scenario
    run = comparison.runs[worst]
    if found and run is not None:
        best = found[0]
        gain = (
            f"it then lasts to {end_moment(run)}"
            if best.gained_h == inf
            else f"it then lasts {duration(best.gained_h)} longer"
        )
        sentences.append(
            f"What helps {called(scenario, worst)} most: {best.action.words}; {gain}."
            f" {best.action.loses}."
        )
    if turned:
        flip = turned[0]
        owner = called(scenario, int(flip.path.split(".")[1]))
        both = listed([called(scenario, index) for index in sorted(flip.stations)])
        sentences.append(
            f"What would change the order: at a {flip.label} of about"
            f" {amount(flip.value, flip.unit, 2)} for {owner} instead of"
            f" {entered(flip.now, flip.unit)}, {both}"
            f" {'would both last' if flip.both_last else 'would end together'}."
        )
    for case in skies:
        name = capital(called(scenario, case.station))
        sentences.append(f"{name}, clear sky: {case.clear}. Overcast: {case.overcast}.")
    return sentences
