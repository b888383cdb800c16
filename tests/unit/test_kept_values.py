"""Values that are remembered within bounds."""

from __future__ import annotations

import gc
from datetime import date
from weakref import ref

import numpy as np
import pytest

from model.engine.comparison import simulate
from model.export.kit_page import kit_of
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Battery, Panel, Radio, Station
from model.sky import irradiance as sun
from model.sky import sun_position, weather
from model.sky.trip import Trip, planned
from model.station import cell_temperature, loads
from model.station import plan_steps as agenda
from model.support.cache import ENTRY_BYTES, ITEM_BYTES, bytes_of, kept_while_it_lives, kept_within
from tests.planned import station_inputs

MADE_BYTES = 80_000


class Maker:
    """Makes arrays of MADE_BYTES and counts them."""

    def __init__(self) -> None:
        self.made: list[object] = []

    def __call__(self, of: object) -> np.ndarray:
        self.made.append(of)
        return np.full(MADE_BYTES // 8, 1.0)


def test_what_fits_is_made_once():
    maker = Maker()
    kept = kept_within(3 * (MADE_BYTES + ENTRY_BYTES))(maker)
    for number in (1, 2, 3, 1, 2, 3):
        kept(number)
    assert maker.made == [1, 2, 3]
    assert kept(1) is kept(1)


def test_no_more_is_kept_than_the_bound_allows():
    kept = kept_within(3 * (MADE_BYTES + ENTRY_BYTES))(lambda of: np.full(MADE_BYTES // 8, of))
    alive = []
    for number in range(50):
        alive.append(ref(kept(number)))
        assert 1 <= sum(made() is not None for made in alive) <= 3


def test_what_is_too_large_by_itself_is_still_given_and_kept_until_the_next():
    maker = Maker()
    kept = kept_within(10)(maker)
    assert kept(1) is kept(1)
    kept(2)
    kept(1)
    assert maker.made == [1, 2, 1]


def test_to_forget_begins_the_count_anew():
    maker = Maker()
    kept = kept_within(3 * (MADE_BYTES + ENTRY_BYTES))(maker)
    for number in (1, 2, 3):
        kept(number)
    kept.cache_clear()
    for number in (4, 5, 6, 4, 5, 6):
        kept(number)
    assert maker.made == [1, 2, 3, 4, 5, 6]


@pytest.mark.parametrize(("length", "made"), [(50, 2), (51, 3)])
def test_long_lists_among_what_it_is_made_of_count(length, made):
    maker = Maker()
    room = MADE_BYTES + ENTRY_BYTES
    kept = kept_within(2 * (room + 50 * ITEM_BYTES))(maker)
    for number in (1, 2, 1):
        kept((number,) * length)
    assert len(maker.made) == made


def test_memory_is_counted_through_tuples_and_parts():
    assert bytes_of(np.zeros(1000)) == 8000
    assert bytes_of((np.zeros(1000), np.zeros(500))) == pytest.approx(12_000, abs=500)
    light = sun.PanelLight(*(np.zeros(1000) for _ in range(3)))
    assert bytes_of(light) == pytest.approx(24_000, abs=500)


class Question:
    """Something that lives for a while."""


def test_an_answer_lives_as_long_as_its_question():
    answers = []

    @kept_while_it_lives
    def answer(question: Question, number: int) -> Maker:
        answers.append(number)
        return Maker()

    question = Question()
    first = ref(answer(question, 1))
    assert answer(question, 1) is first()
    answer(question, number=2)
    assert answers == [1, 2]
    del question
    gc.collect()
    assert first() is None


def scenario(low_c: float, days: int) -> Scenario:
    station = Station(
        name="Kit",
        radio=Radio(receive_a=0.2, off_a=0.0, key_down=((10.0, 2.0), (5.0, 1.5))),
        battery=Battery(chemistry="LFP", capacity_ah=20.0, cells=4, resistance_ohm=0.02),
        panel=Panel(rated_w=60.0, vmp_v=18.0, voc_v=22.0),
    )
    return Scenario(
        site=Site(latitude_deg=47.0, longitude_deg=9.0, timezone="Europe/Zurich"),
        day=Day(date=date(2027, 6, 1), days=days, low_c=low_c, high_c=20.0),
        stations=(station,),
    )


def test_a_kit_goes_with_its_comparison():
    comparison = simulate(scenario(5.0, days=1))
    kit = ref(kit_of(comparison, 0))
    assert kit_of(comparison, 0) is kit()
    del comparison
    gc.collect()
    assert kit() is None


def inputs_of(question: Scenario) -> tuple[Site, Trip, tuple[Block, ...], Station]:
    return question.site, planned(question), question.plan, question.stations[0]


# What each may keep, and a tenth for what is not counted; to drag a value through
# hundreds of runs of two weeks must not fill the memory.
KEPT = {
    agenda._agenda: 4e6,
    agenda._hours_share: 4e6,
    cell_temperature._climate: 4e6,
    cell_temperature._lagged_air_c: 4e6,
    loads._loads: 8e6,
    sun._panel_light: 4e6,
    sun._plane_light: 4e6,
    sun_position.position_at: 4e6,
    sun_position._position_in: 4e6,
    sun._sky: 8e6,
    weather._air_c: 4e6,
}


def test_many_long_days_fill_no_more_than_the_bounds():
    for low_c in range(-10, 0):
        station_inputs(*inputs_of(scenario(float(low_c), days=14)))
    for function, limit in KEPT.items():
        held = [thing for thing in gc.get_referents(function) if not callable(thing)]
        assert sum(map(bytes_of, held)) < limit * 1.1, function.__name__
