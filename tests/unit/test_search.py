"""Every search tells often how far it has come, never less than before, and can be given up."""

from __future__ import annotations

import pytest

from model.editing.paths import with_value
from model.editing.variants import as_variant
from model.sizing.axes import number_axis, power_axis
from model.sizing.break_even_map import search_break_even
from model.sizing.frontier import search_frontier, search_map
from model.sizing.sensitivity import search_sensitivity
from model.sizing.smallest import search_sizes
from model.sizing.variants_compared import search_versions
from model.sizing.year import search_year
from model.support.progress import finish, within
from tests.laws.sample_kits import question, small_kit
from tests.laws.test_batch_season import seasonal


def counting(steps):
    for step in range(steps):
        yield step / steps
    return steps


def test_finish_returns_what_a_search_found():
    assert finish(counting(5)) == 5


def test_a_search_within_another_fills_its_stretch():
    def longer():
        first = yield from within(counting(4), 0.0, 0.5)
        second = yield from within(counting(2), 0.5, 1.0)
        return first + second

    assert list(longer()) == [0.0, 0.125, 0.25, 0.375, 0.5, 0.75]
    assert finish(longer()) == 6


def short_year():
    scenario = seasonal(small_kit())
    return scenario.model_copy(update={"day": scenario.day.model_copy(update={"days": 1})})


PAIR = question(small_kit())
SEARCHES = {
    "sizes": lambda: search_sizes(PAIR),
    "frontier": lambda: search_frontier(PAIR, 0),
    "map": lambda: search_map(PAIR, 0),
    "sensitivity": lambda: search_sensitivity(PAIR, 0),
    "break-even": lambda: search_break_even(
        question(small_kit(), small_kit()),
        number_axis(PAIR, "stations.0.radio.receive_a", (0.2, 0.4)),
        power_axis((5.0, 10.0)),
    ),
    "versions": lambda: search_versions(
        as_variant(PAIR, with_value(PAIR, "title", "other"), "other")
    ),
    "year": lambda: search_year(short_year()),
}


@pytest.mark.parametrize("name", SEARCHES)
def test_shares_never_fall_and_end_below_one(name):
    shares = list(SEARCHES[name]())
    assert shares == sorted(shares)
    assert shares[0] >= 0.0
    assert shares[-1] <= 1.0
    # Of one station the versions are single runs; all others walk through fleets of kits.
    assert len(shares) >= (2 if name == "versions" else 6)
    search = SEARCHES[name]()
    next(search)
    search.close()
    with pytest.raises(StopIteration):
        next(search)
