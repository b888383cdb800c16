"""How much of each room of the program the tests reach, and that it never falls.

``python -m tests.reached FOLDER`` compares what the processes of a test run stored there
(``tests/marks.py``) with the least share of each room in ``least_reached.json``; with ``--raise``
it stores what has risen. No number falls by this program: one that is to fall is a decision, and
is made by hand.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Mapping
from math import floor
from pathlib import Path, PurePosixPath

from tests.marks import counts

LEAST = Path(__file__).with_name("least_reached.json")
# What runs or not by the moment at which a thread or a timer answers.
BY_CHANCE_PERCENT = 0.5


def shares_percent(of_files: Mapping[str, tuple[int, int]]) -> dict[str, float]:
    """Return the share of the statements of each room that was run; files of no room are one."""
    run, all_of_them = Counter[str](), Counter[str]()
    for name, (ran, statements) in of_files.items():
        room = "/".join(PurePosixPath(name).parts[:-1][:2])
        run[room] += ran
        all_of_them[room] += statements
    return {room: 100.0 * run[room] / count for room, count in all_of_them.items() if count}


def faults(shares: Mapping[str, float], least: Mapping[str, int]) -> list[str]:
    """Return one line for each room that fell, is not known, or is gone."""
    found = [
        f"{room}: {share:.2f} % reached, {least[room]} % needed"
        for room, share in sorted(shares.items())
        if room in least and share < least[room]
    ]
    found += [
        f"{room}: {shares[room]:.2f} % reached, nothing stored: use --raise"
        for room in sorted(shares.keys() - least.keys())
    ]
    return found + [
        f"{room}: stored, but not in the program" for room in sorted(least.keys() - shares.keys())
    ]


def raised(shares: Mapping[str, float], least: Mapping[str, int]) -> dict[str, int]:
    """Return the least shares with what rose by a whole per cent; none falls."""
    return {
        room: max(least.get(room, 0), floor(share - BY_CHANCE_PERCENT))
        for room, share in sorted(shares.items())
    }


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.reached")
    parser.add_argument("folder", type=Path, help="where a test run stored what it ran")
    parser.add_argument("--raise", dest="is_raised", action="store_true", help="store what rose")
    parser.add_argument("--least", type=Path, default=LEAST, help="where the shares are stored")
    given = parser.parse_args(arguments)
    shares = shares_percent(counts(given.folder))
    least = json.loads(given.least.read_text(encoding="utf-8"))
    if given.is_raised:
        least = raised(shares, least)
        given.least.write_text(json.dumps(least, indent=4) + "\n", encoding="utf-8")
    found = faults(shares, least)
    for line in found or [f"{room}: {share:.1f} %" for room, share in sorted(shares.items())]:
        sys.stdout.write(f"{line}\n")
    return 1 if found else 0


if __name__ == "__main__":
    raise SystemExit(main())
