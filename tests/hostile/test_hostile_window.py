"""A short run of what breaks windows; the long ones are ``python -m tests.hostile.user`` and
``python -m tests.hostile.kill_window``.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.hostile.kill_window import kill_while_typing

ROOT = Path(__file__).resolve().parents[2]


def test_fifteen_seconds_of_anything_at_all_break_nothing() -> None:
    command = [sys.executable, "-m", "tests.hostile.user", "--seed", "2027", "--seconds", "15"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert " 0 of the windows had a fault" in done.stdout


@pytest.mark.parametrize("seed", [1, 2])
def test_a_window_killed_while_it_types_offers_the_right_file_and_all_but_two_seconds(
    seed: int,
) -> None:
    report = kill_while_typing(6, seed, longest_typing_s=6.0)
    assert report.faults == []
    assert report.kills == 6
    # Most kills fall where something is not saved.
    assert report.nothing_to_offer < 6
