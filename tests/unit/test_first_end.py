"""When a station first ends, worked out no further than to that end, is what its whole run says."""

from __future__ import annotations

from math import isfinite

import tomli_w

from model.engine.comparison import first_ends_h, simulate
from model.engine.first_end import CLOCK_NAMES, STRETCH_STEPS
from model.files.scenario_file import parse_scenario
from model.results.tie_point import first_end_h
from tests.unit.made_kits import made_kit


def test_it_is_what_the_whole_run_says_and_found_in_any_stretch():
    stretches = set()
    for seed in range(14):
        given = parse_scenario(tomli_w.dumps(made_kit(seed)).encode())
        every = tuple(range(len(given.stations)))
        runs = simulate(given).runs
        for clock in (None, *CLOCK_NAMES):
            whole = tuple(None if run is None else first_end_h(run, clock) for run in runs)
            assert first_ends_h(given, every, clock=clock) == whole
            stretches |= {hours * 60 // STRETCH_STEPS for hours in whole if hours is not None}
    # Some end at once, some much later, and some never.
    assert len([stretch for stretch in stretches if isfinite(stretch)]) >= 3
    assert len(stretches) > len([stretch for stretch in stretches if isfinite(stretch)])
