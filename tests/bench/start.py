"""How long the window takes to stand there with its result, beside the bare imports: it prints.

``python -m tests.bench.start --times 7`` starts each in a process of its own, in turn, and prints
the least and the median of what they worked and of the time on the clock. The bare imports are the
libraries that the window needs for its first picture. Nothing here fails on time.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
from functools import partial
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from tests.bench.compiled import compiling_into

ROOT = Path(__file__).parents[2]
RIDGE = ROOT / "scenarios" / "ridge-weekend.toml"
BARE = (
    "import numpy, pandas, pvlib, pydantic, pyqtgraph\n"
    "from PySide6.QtWidgets import QApplication\n"
    "QApplication([])\n"
)
# The modules are loaded as the front door loads them.
WINDOW = f"""
from app.__main__ import load_window
load_window()
from pathlib import Path
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication
application = QApplication([])
from app.main_window import MainWindow
from app.state.settings import Settings
from app.state.starting import starter_library
from model.files.scenario_file import read_scenario
window = MainWindow(read_scenario(Path({str(RIDGE)!r})), starter_library(), Settings())
painted = []
window.day.chart.painted.connect(lambda: painted.append(True))
window.show()
while not painted:
    QCoreApplication.processEvents()
assert window.session.comparison is not None
import os
os._exit(0)
"""
tell = partial(print, flush=True)


def started(code: str, compiled: Path) -> tuple[float, float]:
    """Run code in a process of its own; return work and time on the clock. [ms]"""
    before, begun = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env=compiling_into(compiled) | {"QT_QPA_PLATFORM": "offscreen"},
        check=True,
        stderr=subprocess.DEVNULL,
    )
    took = perf_counter() - begun
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    worked = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return worked * 1000, took * 1000


def main() -> None:
    """Measure, and print."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--times", type=int, default=7)
    times = asked.parse_args().times
    found: dict[str, list[tuple[float, float]]] = {"bare imports": [], "window": []}
    codes = (("bare imports", BARE), ("window", WINDOW))
    with TemporaryDirectory() as folder:
        for _, code in codes:
            started(code, Path(folder))
        for _ in range(times):
            for what, code in codes:
                found[what].append(started(code, Path(folder)))
    for what, rows in found.items():
        worked, took = zip(*rows, strict=True)
        tell(
            f"{what:14} work {min(worked):6.0f} {median(worked):6.0f} ms,"
            f" on the clock {min(took):6.0f} {median(took):6.0f} ms (least, median)"
        )
    bare, window = (median(row[0] for row in rows) for rows in found.values())
    tell(f"the window takes {window / bare:.2f} times the work of the bare imports")


if __name__ == "__main__":
    main()
