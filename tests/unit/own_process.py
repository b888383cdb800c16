"""Runs a script of the tests in a process of its own, where it may change the program's tables."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]


def found_by(module: str, home: Path) -> dict[str, Any]:
    """Return what a module of the tests prints as its last line, run with a home of its own."""
    ran = subprocess.run(
        [sys.executable, "-m", module],
        cwd=ROOT,
        env=os.environ | {"HOME": str(home), "XDG_CONFIG_HOME": str(home)},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert ran.returncode == 0, ran.stderr
    found: dict[str, Any] = json.loads(ran.stdout.splitlines()[-1])
    return found
