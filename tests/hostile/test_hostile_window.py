"""A short run of what breaks windows; the long ones are ``python -m tests.hostile.user`` and
``python -m tests.hostile.kill_window``.
"""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

from tests.hostile.kill_window import kill_while_typing

ROOT = Path(__file__).resolve().parents[2]


def test_ten_seconds_of_anything_at_all_break_nothing() -> None:
    command = [sys.executable, "-m", "tests.hostile.user", "--seed", "2027", "--seconds", "10"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert " 0 of the windows had a fault" in done.stdout


def test_a_window_killed_while_it_types_offers_the_right_file_and_all_but_two_seconds() -> None:
    # A window types at its own pace and waits most of the time: two at once, each in its own home.
    with ThreadPoolExecutor(2) as both:
        reports = list(both.map(partial(kill_while_typing, 3, longest_typing_s=5.0), [1, 2]))
    assert [fault for report in reports for fault in report.faults] == []
    # Where nothing were kept, whoever is killed after two seconds without a save would show it.
    assert sum(report.kills for report in reports) == 6
