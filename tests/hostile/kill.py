"""Kill a saving program at random moments: the file must be the old or the new one, whole.

python -m tests.hostile.kill --times 200
"""

from __future__ import annotations

import argparse
import itertools
import random
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from model.editing.paths import with_value
from model.files.scenario_file import dump_scenario, read_scenario, write_scenario
from model.scenario.scenario import Scenario
from tests.hostile.mutations import SCENARIOS

ROOT = Path(__file__).resolve().parents[2]
# Long notes, so that there is time to be killed while they are written.
VERSIONS: tuple[Scenario, ...] = tuple(
    with_value(SCENARIOS[0], "notes", letter * 8000) for letter in "ab"
)


@dataclass
class Report:
    """What was found after the kills."""

    kills: int = 0
    in_the_middle: int = 0
    torn: int = 0

    def __str__(self) -> str:
        return (
            f"{self.kills} kills, {self.in_the_middle} of them in the middle of a save:"
            f" {self.torn} files torn"
        )


def save_for_ever(path: Path) -> None:
    """Save one version and the other in turn, until killed; say when it has begun."""
    for count, version in enumerate(itertools.cycle(VERSIONS)):
        write_scenario(version, path)
        if count == 1:
            sys.stdout.write("saving\n")
            sys.stdout.flush()


def kill_while_saving(times: int, seed: int = 0) -> Report:
    """Start, kill and look at the file, as many times as asked."""
    chance, report = random.Random(seed), Report()
    whole = {dump_scenario(version).encode() for version in VERSIONS}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "kit.toml"
        for _ in range(times):
            _kill_one(path, chance.uniform(0, 0.03))
            report.kills += 1
            left = [entry for entry in path.parent.iterdir() if entry != path]
            report.in_the_middle += bool(left)
            report.torn += path.read_bytes() not in whole or read_scenario(path) not in VERSIONS
            for entry in left:
                entry.unlink()
    return report


def _kill_one(path: Path, after_s: float) -> None:
    command = [sys.executable, "-m", "tests.hostile.kill", "--save-for-ever", str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT) as program:
        program.stdout.readline()
        time.sleep(after_s)
        program.kill()


def main() -> int:
    """Read the command line, kill as often as asked, print the report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--save-for-ever", type=Path, help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.save_for_ever:
        save_for_ever(chosen.save_for_ever)
    report = kill_while_saving(chosen.times)
    sys.stdout.write(f"{report}\n")
    return 1 if report.torn else 0


if __name__ == "__main__":
    sys.exit(main())
