"""Read, run, save and read again very many damaged files, and print the page of some.

    python -m tests.hostile.long --files 100000

Each file has a number and is the same whenever it is made; ``--first N --files 1`` repeats one.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
import traceback
import warnings
from dataclasses import dataclass, field

from app.printing import pages_of
from app.printing.document import pdf_bytes
from model.editing.faults import ScenarioError
from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.files.scenario_file import FILE_LIMIT_BYTES, dump_scenario, parse_scenario
from model.scenario.scenario import Scenario
from model.verdict.table import verdict
from tests.hostile.mutations import file_number

# A page takes twenty times as long as a run, a verdict about as long.
PAGE_EVERY = 200
VERDICT_EVERY = 10
# The design's own bound: what comes in and what goes out agree to this, relative.
LEDGER_LIMIT = 1e-9


@dataclass
class Report:
    """What became of the files."""

    refused: int = 0
    ran: int = 0
    printed: int = 0
    worst_s: float = 0.0
    worst_number: int = -1
    broken: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        return (
            f"{self.refused + self.ran + len(self.broken)} files: {self.refused} refused,"
            f" {self.ran} ran, {self.printed} were printed, {len(self.broken)} broke the program;"
            f" slowest {self.worst_s:.2f} s of processor time (file {self.worst_number}),"
            f" peak {peak_mb:.0f} MB"
        )


def put_through(data: bytes, *, judges: bool = False, page: int | None = None) -> bool:
    """Take a file through everything; return whether it was a scenario.

    ``page`` counts the files printed: the stations take turns, as a person prints one page.
    """
    scenario = read_or_refuse(data)
    if scenario is None:
        return False
    comparison = simulate(scenario)
    for run in comparison.runs:
        if run is not None:
            _check_run(run)
    if judges and not all(verdict(comparison).sentences):
        raise AssertionError("the verdict has an empty sentence")
    saved = dump_scenario(scenario)
    if len(saved.encode()) <= FILE_LIMIT_BYTES and parse_scenario(saved.encode()) != scenario:
        raise AssertionError("what was saved is read back as something else")
    if page is not None:
        pages = pages_of(comparison, station=1 + page % len(scenario.stations))
        if not pdf_bytes(pages, "Hostile").startswith(b"%PDF"):
            raise AssertionError("its page is no PDF")
    return True


def read_or_refuse(data: bytes) -> Scenario | None:
    """Return the scenario, or None where it is refused in plain lines."""
    try:
        return parse_scenario(data)
    except ScenarioError as error:
        _check_sentences(error)
        return None


def _check_sentences(error: ScenarioError) -> None:
    if not error.faults:
        raise AssertionError("refused without a fault")
    for fault in error.faults:
        sentence = str(fault)
        if not sentence.strip() or len(sentence) > 400:
            raise AssertionError(f"a fault of {len(sentence)} characters: {sentence[:400]!r}")
        if any(ord(mark) < 32 or mark in "\u202e\u2028" for mark in sentence):
            raise AssertionError(f"a fault is not one plain line: {sentence!r}")


def _check_run(run: StationRun) -> None:
    if not bool(((run.fraction > -1e-9) & (run.fraction < 1 + 1e-9)).all()):
        raise AssertionError(f"a charge from {run.fraction.min()} to {run.fraction.max()}")
    if not run.sums.ledger_residual < LEDGER_LIMIT:
        raise AssertionError(f"the ledger misses by {run.sums.ledger_residual}")
    if run.clocks.receive.hours is not None and not run.clocks.receive.hours >= 0:
        raise AssertionError(f"receive ends after {run.clocks.receive.hours} h")


def put_through_files(first: int, count: int, *, tell_every: int = 0) -> Report:
    """Put files through and report; a traceback is kept with the number of its file."""
    report = Report()
    for number in range(first, first + count):
        data = file_number(number)
        # What other programs take of the processor is no fault of this one.
        start = time.process_time()
        try:
            page = number // PAGE_EVERY if number % PAGE_EVERY == 0 else None
            if put_through(data, judges=number % VERDICT_EVERY == 0, page=page):
                report.ran += 1
                report.printed += page is not None
            else:
                report.refused += 1
        except Exception:  # noqa: BLE001  whatever is raised is what is looked for
            report.broken.append(f"file {number}\n{traceback.format_exc()}")
            if tell_every:
                sys.stdout.write(report.broken[-1])
        spent = time.process_time() - start
        if spent > report.worst_s:
            report.worst_s, report.worst_number = spent, number
        if tell_every and (number - first + 1) % tell_every == 0:
            sys.stdout.write(f"{report}\n")
            sys.stdout.flush()
    return report


def main() -> int:
    """Read the command line, put the files through, print the report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--files", type=int, default=100_000)
    parser.add_argument("--first", type=int, default=0)
    chosen = parser.parse_args()
    # An array that divides by zero would else only be told on the error output, once.
    warnings.simplefilter("error", RuntimeWarning)
    report = put_through_files(chosen.first, chosen.files, tell_every=2000)
    sys.stdout.write(f"{report}\n")
    return 1 if report.broken else 0


if __name__ == "__main__":
    sys.exit(main())
