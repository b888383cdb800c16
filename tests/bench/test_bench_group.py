"""What a group of fifteen posts costs, each figure beside a floor of the same run.

Processor seconds of this process are printed; nothing here fails on time. Run with
``sh tests/run tests/bench/test_bench_group.py -s``. Aimed at on two free cores: the table of three
days in under 2 s, 500 shared skies in under 10 s.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

import numpy as np

from model.engine.run import run_station
from model.group.group_file import read_group
from model.group.group_run import run_group
from model.group.kits import kits_of
from model.group.power_matrix import power_matrix
from model.group.shared_odds import group_odds
from model.group.spares import allot_spares
from model.sky.sun_position import load_library
from model.sky.timeline import timeline

EXAMPLE = Path(__file__).parents[2] / "scenarios" / "group" / "autumn-exercise.toml"


def spent_s(began_s: float) -> float:
    return process_time() - began_s


def test_table_odds_spares_and_matrix_of_fifteen_posts() -> None:
    load_library()
    whole = read_group(EXAMPLE)
    began_s = process_time()
    result = run_group(whole)
    table_s = spent_s(began_s)
    kits = kits_of(whole)
    began_s = process_time()
    found = group_odds(result)
    odds_s = spent_s(began_s)
    began_s = process_time()
    allot_spares(result)
    spares_s = spent_s(began_s)
    began_s = process_time()
    power_matrix(whole.group, kits)
    matrix_s = spent_s(began_s)
    # The floor of the table: thirty runs that know their sky.
    began_s = process_time()
    for kit in kits:
        again = kit.station.model_copy(update={"name": f"again {kit.post.kit}"})
        run_station(kit.site, kit.trip, kit.plan, again, kit.shared)
    runs_s = 2 * spent_s(began_s)
    steps = timeline(kits[0].site, kits[0].trip, 10.0).steps
    began_s = process_time()
    for _ in kits:
        kept = np.full(found.skies, 10.0)
        for _ in range(steps):
            kept = np.minimum(kept - np.minimum(kept, 0.1) * 0.1, 10.0)
    floor_s = spent_s(began_s)
    sys.stdout.write(
        f"\ntable {table_s:.2f} s, of which runs alone {runs_s:.2f} s; 500 skies {odds_s:.2f} s,"
        f" three sums a step alone {floor_s:.2f} s; spares {spares_s:.2f} s,"
        f" matrix {matrix_s:.2f} s\n"
    )
    assert len(found.posts) == 15
