"""Kill the whole window at random moments while it types: what is typed is offered, and of it all
but the last two seconds.

    python -m tests.hostile.kill_window --times 200
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from app.state.recovery.slot import orphans
from model.files.scenario_file import read_scenario, write_scenario
from tests.hostile.mutations import SCENARIOS

ROOT = Path(__file__).resolve().parents[2]
# What may be lost; a machine that is busy with other things may take longer over each key.
MOST_LOST_S = 2.0
LONGEST_TYPING_S = 4.0

# Types a number a key at a time into the real window, and says when each was typed. Now and then it
# saves, so that kills fall into saves and into the compaction of the journal too; between two saves
# most of the time something is in the journal, which begins a second after a save at the latest.
TYPE_FOR_EVER = """
import sys, time
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from app import window
from app.widgets import dialogs

dialogs.choose_from_list = lambda *_: None
count = 0

def type_on():
    global count
    tops = [each for each in QApplication.topLevelWidgets() if isinstance(each, window.MainWindow)]
    if not tops or tops[0].document.path is None:
        return
    document = tops[0].document
    count += 1
    if count % 71 == 0:
        document.save(document.path)
    document.edit("title", f"typed {count}")
    if count % 7 == 0:
        document.end_burst()
    if count % 11 == 0:
        document.undo_stack.undo()
        document.edit("title", f"typed {count}")
    print(count, time.monotonic(), flush=True)

application = QApplication([])
timer = QTimer(interval=40)
timer.timeout.connect(type_on)
timer.start()
window.open_window([sys.argv[1]])
"""


@dataclass
class Report:
    """What was found after the kills."""

    kills: int = 0
    nothing_to_offer: int = 0
    worst_lost_s: float = 0.0
    faults: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.kills} kills, {self.nothing_to_offer} of them when all was saved; at most"
            f" {self.worst_lost_s:.2f} s of typing lost; {len(self.faults)} at fault"
        )


def kill_while_typing(
    times: int, seed: int = 0, longest_typing_s: float = LONGEST_TYPING_S
) -> Report:
    """Open the window, let it type, kill it and look, as many times as asked."""
    chance, report = random.Random(seed), Report()
    home = Path(tempfile.mkdtemp(prefix="counterpoise-kill-"))
    names = {
        "HOME": "", "XDG_CONFIG_HOME": "c", "XDG_DATA_HOME": "d", "XDG_STATE_HOME": "s",
        "XDG_CACHE_HOME": "k",
    }  # fmt: skip
    surroundings = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    surroundings |= {name: str(home / below) for name, below in names.items()}
    try:
        for number in range(times):
            # The same name in another folder each time: the work must come with its own.
            path = home / f"files {number}" / "kit.toml"
            path.parent.mkdir()
            write_scenario(SCENARIOS[0], path)
            said, ended_s = _type_and_kill(path, surroundings, chance.uniform(0, longest_typing_s))
            report.kills += 1
            _look(path, home / "s" / "Counterpoise" / "unsaved", said, ended_s, report)
    finally:
        shutil.rmtree(home, ignore_errors=True)
    return report


def _type_and_kill(
    path: Path, surroundings: dict[str, str], after_s: float
) -> tuple[list[tuple[int, float]], float]:
    """Return what was typed and when, and when the program was killed."""
    command = [sys.executable, "-c", TYPE_FOR_EVER, str(path)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, cwd=ROOT, env=surroundings, text=True
    ) as program:
        assert program.stdout is not None
        lines = [program.stdout.readline()]
        time.sleep(after_s)
        ended_s = time.monotonic()
        program.kill()
        lines += program.stdout.readlines()
    said = [line.split() for line in lines if line.endswith("\n")]
    return [(int(count), float(at_s)) for count, at_s in said], ended_s


def _look(
    path: Path, folder: Path, said: list[tuple[int, float]], ended_s: float, report: Report
) -> None:
    """Compare what is offered and what the file holds with what was typed."""
    found = orphans(folder)
    works = [left.work for _, left in found.left if left.work is not None]
    held = _typed(read_scenario(path).title)
    if found.damaged:
        # A torn last line is no fault as long as little is lost with it.
        sys.stderr.write(f"{found.damaged[0]}\n")
    if len(works) > 1 or any(work.file != path for work in works):
        report.faults.append(f"{path}: offered with {[str(work.file) for work in works]}")
    newest = max([held, *(_typed(work.scenario.title) for work in works)])
    report.nothing_to_offer += not works
    missed = [at_s for count, at_s in said if count > newest]
    lost_s = ended_s - missed[0] if missed else 0.0
    report.worst_lost_s = max(report.worst_lost_s, lost_s)
    if lost_s > MOST_LOST_S:
        report.faults.append(f"{path}: {lost_s:.2f} s of typing lost, up to {newest} is held")
    for slot, _ in found.left:
        slot.discard()
        slot.release()


def _typed(title: str) -> int:
    word, _, number = title.partition(" ")
    return int(number) if word == "typed" else 0


def main() -> int:
    """Read the command line, kill as often as asked, print the report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0)
    chosen = parser.parse_args()
    report = kill_while_typing(chosen.times, chosen.seed)
    sys.stdout.write("\n".join([*report.faults, str(report), ""]))
    return 1 if report.faults else 0


if __name__ == "__main__":
    sys.exit(main())
