"""Why a station ends, in one sentence over the span that matters."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from model.engine.clocks import FULL_FRACTION
from model.engine.frost import charge_refused
from model.engine.outcome import USES, Clock
from model.engine.run import StationRun
from model.results.wording import CAUSE_WORDS, USE_WORDS, capital
from model.sky.sun_times import night_spans
from model.support.figures import amount, apart, day_and_time, told
from model.verdict.order import is_guessed
from model.verdict.sentences import volts_lost
from model.verdict.stretches import step_at

# A night that has hardly begun explains nothing.
SHORTEST_SPAN_H = 1.0
CAUSE_DIGITS = 2


def cause_of_end(run: StationRun, name: str, clock: Clock) -> str:
    """Return why a clock of a run ended.

    Parameters
    ----------
    name : which of the three clocks.
    """
    assert clock.cause is not None
    assert clock.hours is not None
    if clock.cause in ("over-volts", "board"):
        return f"{capital(CAUSE_WORDS[clock.cause])}."
    step = round(clock.hours / run.clock.step_h)
    if clock.cause == "sag" and name != "receive":
        said = f"{capital(volts_lost(run, clock))}."
    else:
        said = use_since(run, step)
    if clock.because != "frost":
        return said
    refused = charge_refused(run.inputs, run.flow)[run.judged_from : step]
    hours = amount(float(np.count_nonzero(refused)) * run.clock.step_h, "h", CAUSE_DIGITS)
    return (
        f"The cells were too cold to charge for {hours} with current on offer;"
        f" {said[0].lower()}{said[1:]}"
    )


def cause_of_lowest(run: StationRun) -> str:
    """Return what took most before the charge of a run was least."""
    step = int(np.argmin(run.fraction[run.judged_from :])) + run.judged_from
    # Lowest at its very beginning, a run is explained by what follows.
    is_at_once = (step - run.judged_from) * run.clock.step_h < SHORTEST_SPAN_H
    return use_since(run, run.inputs.steps if is_at_once else step)


def use_since(run: StationRun, step: int) -> str:
    """Return the use that took most up to a step, since dusk or since the battery was full.

    The Ah are those of the run's flow at the bus, said with two digits; more where the two would
    else read the same.
    """
    since, words = _span_before(run, step)
    taken_ah = {
        use: float(run.flow.use_a[use][since:step].sum()) * run.clock.step_h for use in USES
    }
    most = max(USES, key=lambda use: taken_ah[use])
    total_ah = sum(taken_ah.values())
    if total_ah <= 0:
        return f"{words} nothing was drawn."
    part, whole = (
        text.rpartition("\N{NO-BREAK SPACE}")[0]
        for text in apart((taken_ah[most], total_ah), "Ah", CAUSE_DIGITS)
    )
    share = f"all {whole}" if taken_ah[most] == total_ah else f"{part} of {whole}"
    return f"{words} {USE_WORDS[most]} took {share}\N{NO-BREAK SPACE}Ah."


def _span_before(run: StationRun, step: int) -> tuple[int, str]:
    """Return where the span that matters begins, and that in words."""
    at, clock = run.clock.at(step), run.clock
    since, words = _span_since_full(run, step)
    for begin, end in night_spans(run.site, run.trip):
        first = step_at(run, begin)
        # The first light of a morning gives nothing yet.
        is_night = begin < at <= end + timedelta(hours=SHORTEST_SPAN_H)
        if (
            is_night
            and first > run.judged_from
            and (step - first) * clock.step_h >= SHORTEST_SPAN_H
            and not _is_lost_before(run, since, first, step)
        ):
            return first, "Since dusk"
    return since, words


def _is_lost_before(run: StationRun, since: int, dusk: int, step: int) -> bool:
    """Return whether more charge was lost before dusk than in the night."""
    at_first, at_dusk, at_last = (
        run.fraction[min(each, run.fraction.size - 1)] for each in (since, dusk, step)
    )
    return bool(at_first - at_dusk > at_dusk - at_last)


def _span_since_full(run: StationRun, step: int) -> tuple[int, str]:
    """Return where the battery was full last, or the beginning, and that in words."""
    clock = run.clock
    full = np.flatnonzero(run.fraction[run.judged_from : step] >= FULL_FRACTION)
    if full.size and (since := int(full[-1]) + run.judged_from) > run.judged_from:
        when = day_and_time(told(clock.at(since), about=is_guessed(run)), clock.days)
        return since, f"Since it was full, {when},"
    if run.judged_from:
        return run.judged_from, f"From {day_and_time(clock.at(run.judged_from), clock.days)} on"
    return 0, "From the start on"
