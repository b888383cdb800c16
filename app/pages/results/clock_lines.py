"""The three clocks of a station, one line each."""

from __future__ import annotations

from model.engine.run import StationRun
from model.results.wording import CLOCK_WORDS
from model.station.transmit_path import highest_planned_w
from model.verdict.sentences import said_moment


def clock_lines(run: StationRun | None) -> tuple[str, ...]:
    """Return a line for each clock: until when, or that it lasts."""
    if run is None:
        return ("Not run: see its findings.",)
    lines = []
    for name, words in CLOCK_WORDS.items():
        if name != "receive" and not highest_planned_w(run.station, run.plan):
            continue
        clock = getattr(run.clocks, name)
        at = clock.until
        text = "throughout" if at is None else f"until {said_moment(run, at)}"
        lines.append(f"{words.capitalize()} {text}")
    return tuple(lines)
