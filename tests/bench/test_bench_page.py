"""Speed of the kit page: what a person waits for after asking. Measured, never asserted."""

from __future__ import annotations

import io
from itertools import count
from pathlib import Path

import pytest
import tomli_w

from app.printing import pages_of, write_pdf
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.files.scenario_file import parse_scenario, read_scenario
from model.scenario.scenario import Scenario
from tests.unit.made_kits import made_kit

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def ridge() -> Scenario:
    return read_scenario(ROOT / "scenarios" / "ridge-weekend.toml")


def test_pages_of_kits_never_seen_before(benchmark, ridge):
    """Two stations, two days: run beforehand as the window does, everything else from new."""
    seen = count(1)

    def new_kits():
        changed = with_value(ridge, "stations.0.radio.receive_a", 0.3 + next(seen) * 1e-4)
        changed = with_value(changed, "stations.1.radio.receive_a", 1.0 + next(seen) * 1e-4)
        comparison = simulate(changed)
        for run in comparison.runs:
            assert run is not None
            assert run.clocks
        return (comparison, io.BytesIO()), {}

    benchmark.pedantic(write_pdf, setup=new_kits, rounds=5, warmup_rounds=1)


def test_pages_of_the_same_kits_on_other_paper(benchmark, ridge):
    comparison = simulate(ridge)
    pages_of(comparison)
    pages = benchmark(pages_of, comparison, paper="letter", units="us")
    assert len(pages) == 5


def test_pages_of_a_group_of_fifteen_kits(benchmark):
    """What a leader prints before a weekend: every kit from new, with the cover."""
    seen = count(1)

    def new_kits():
        kits = []
        for seed in range(15):
            data = made_kit(seed)
            data["stations"] = data["stations"][:1]
            data["stations"][0]["radio"]["receive_a"] += next(seen) * 1e-5
            kits.append(parse_scenario(tomli_w.dumps(data).encode()))
        return (kits,), {"cover": True}

    benchmark.pedantic(pages_of, setup=new_kits, rounds=3, warmup_rounds=1)
