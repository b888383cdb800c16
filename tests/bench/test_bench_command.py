"""What a first answer costs, in processor time, beside what its libraries and its run cost.

The machine may be shared: processor seconds of the process are printed, the least of some starts.
Nothing here fails on time. Run with ``sh tests/run tests/bench/test_bench_command.py -s``.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

import pytest

from model.advice.advice import counsel
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from tests.bench.compiled import compiling_into

ROOT = Path(__file__).parents[2]
RIDGE = "scenarios/ridge-weekend.toml"
LIBRARIES = "import numpy, pandas, pvlib; from pydantic import BaseModel"
STARTS = 5


def processor_s(*words: str) -> float:
    """Return the least processor time of some starts. [s]"""
    spent = []
    with TemporaryDirectory() as folder:
        env = compiling_into(Path(folder))
        # The first compiles and is the longest.
        for _ in range(1 + STARTS):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            command = [sys.executable, *words]
            subprocess.run(command, cwd=ROOT, env=env, stdout=subprocess.DEVNULL, check=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(spent)


def test_a_brief_answer_beside_its_libraries_and_its_run() -> None:
    libraries_s = processor_s("-c", LIBRARIES)
    brief_s = processor_s("-m", "app", "run", RIDGE, "--brief")
    full_s = processor_s("-m", "app", "run", RIDGE)
    simulate(read_scenario(ROOT / "scenarios" / "summer-net.toml"))
    began_s = process_time()
    simulate(read_scenario(ROOT / RIDGE))
    run_s = process_time() - began_s
    sys.stdout.write(
        f"\nlibraries {libraries_s:.2f} s, the run {run_s:.2f} s; in brief {brief_s:.2f} s,"
        f" {brief_s / (libraries_s + run_s):.2f} times both; with advice {full_s:.2f} s\n"
    )
    assert min(libraries_s, run_s, brief_s, full_s) > 0


@pytest.mark.parametrize("name", ["ridge-weekend", "midwinter-relay", "summer-net"])
def test_advice_beside_one_run(name: str) -> None:
    comparison = simulate(read_scenario(ROOT / "scenarios" / f"{name}.toml"))
    began_s = process_time()
    assert counsel(comparison).sentences
    advice_s = process_time() - began_s
    began_s = process_time()
    simulate(comparison.scenario.model_copy(update={"title": "once more"}), as_able=False)
    run_s = process_time() - began_s
    sys.stdout.write(f"\n{name}: advice {advice_s:.2f} s, a run of all stations {run_s:.3f} s\n")


def test_the_version_is_told_without_any_library() -> None:
    sys.stdout.write(f"\nversion {processor_s('-m', 'app', '--version'):.2f} s\n")
