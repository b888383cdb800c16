"""Which runs are remembered."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace

import pytest

from model.engine.kept_runs import KeptRuns


@dataclass(eq=False)
class Run:
    number: int
    clock: SimpleNamespace


class Maker:
    """Makes runs of 100 steps and counts them."""

    def __init__(self) -> None:
        self.made: list[int] = []

    def __call__(self, number: int, *, steps: int = 100) -> Run:
        self.made.append(number)
        return Run(number, SimpleNamespace(steps=steps))


@pytest.fixture
def maker() -> Maker:
    return Maker()


@pytest.fixture
def kept(maker: Maker) -> KeptRuns:
    return KeptRuns(maker, limit_steps=300)


def test_the_same_values_are_run_once(kept, maker):
    assert kept(1) is kept(1)
    assert maker.made == [1]


def test_the_oldest_goes_when_the_steps_are_too_many(kept, maker):
    for number in (1, 2, 3, 1, 4):
        kept(number)
    kept(1)
    assert maker.made == [1, 2, 3, 4]
    kept(2)
    assert maker.made == [1, 2, 3, 4, 2]


def test_long_runs_push_out_more_short_ones(kept):
    for number in (1, 2, 3):
        kept(number)
    kept(4, steps=250)
    assert kept.kept_steps == 250


def test_a_run_longer_than_the_bound_is_kept_alone(kept, maker):
    kept(1, steps=900)
    kept(1, steps=900)
    assert maker.made == [1]
    assert kept.kept_steps == 900


def test_a_run_in_use_is_found_whatever_came_since(kept, maker):
    shown = kept(0)
    for number in range(1, 50):
        kept(number)
    assert kept(0) is shown
    assert maker.made.count(0) == 1


def test_a_run_in_use_is_made_again_once_all_is_forgotten(kept, maker):
    shown = kept(0)
    kept.cache_clear()
    assert kept(0) is not shown
    assert maker.made == [0, 0]
