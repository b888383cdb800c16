"""Pass or fail of a kit, by a rule that is printed beside the result."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from model.engine.run import StationRun
from model.results.provenance import guess_share
from model.support.figures import percent
from model.verdict.order import GUESSED_SHARE

Outcome = Literal["pass", "pass, unmeasured", "fail", "not calculated"]
RULE = (
    "Pass: under the planned sky, full power, reduced power and receive last all planned days and"
    " the charge never falls below the reserve. Pass, unmeasured: the same, but more than"
    f" {percent(GUESSED_SHARE)} of the Ah, or the battery's tested capacity, come from guesses."
)


@dataclass(frozen=True)
class Grade:
    """What the rule makes of one run."""

    outcome: Outcome
    reason: str


def grade(run: StationRun | None) -> Grade:
    """Return whether a kit passes, and if not, or not surely, why."""
    if run is None:
        return Grade("not calculated", "an error in its file")
    clocks = run.clocks
    for clock, ends in (
        (clocks.receive, "goes off the air"),
        (clocks.reduced_power, "transmitting ends"),
        (clocks.full_power, "full power ends"),
    ):
        if clock.until is not None:
            return Grade("fail", ends)
    if run.reserve_crossed_at is not None:
        return Grade("fail", "below its reserve")
    if guess_share(run) > GUESSED_SHARE:
        return Grade("pass, unmeasured", f"{percent(guess_share(run))} of its Ah from guesses")
    if run.station.battery.source_of("tested_fraction").origin == "guess":
        return Grade("pass, unmeasured", "its capacity is a guess")
    return Grade("pass", "")
