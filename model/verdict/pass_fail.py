"""Pass or fail of a kit, by a rule that is printed beside the result."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from model.engine.run import StationRun
from model.results.provenance import guess_share
from model.verdict.table import GUESSED_SHARE

Outcome = Literal["pass", "pass, unmeasured", "fail", "not run"]
RULE = (
    "Pass: under the planned sky, no clock ends within the planned days and the charge never falls"
    " below the reserve. Pass, unmeasured: the same, but more than"
    f" {GUESSED_SHARE * 100:.0f} % of the Ah, or the battery's tested capacity, rest on guesses."
)


@dataclass(frozen=True)
class Grade:
    """What the rule makes of one run."""

    outcome: Outcome
    reason: str


def grade(run: StationRun | None) -> Grade:
    """Return whether a kit passes, and if not, or not surely, why."""
    if run is None:
        return Grade("not run", "an error in its file")
    clocks = run.clocks
    for clock, ends in (
        (clocks.receive, "receive ends"),
        (clocks.reduced_power, "sending ends"),
        (clocks.full_power, "full power ends"),
    ):
        if clock.until is not None:
            return Grade("fail", ends)
    if run.reserve_crossed_at is not None:
        return Grade("fail", "below its reserve")
    if guess_share(run) > GUESSED_SHARE:
        return Grade("pass, unmeasured", f"{guess_share(run) * 100:.0f} % of its Ah are guesses")
    if run.station.battery.source_of("tested_fraction").origin == "guess":
        return Grade("pass, unmeasured", "its capacity is a guess")
    return Grade("pass", "")
