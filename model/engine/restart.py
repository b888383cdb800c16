"""A run taken up again at one moment with a charge that was measured there."""

from __future__ import annotations

from dataclasses import replace

from model.engine.flows import flows
from model.engine.run import StationRun
from model.engine.step import advance
from model.engine.step_values import Trace

# Loads that were off are taken to be back once this much is in the battery.
BACK_AT_FRACTION = 0.05


def restarted(run: StationRun, step: int, stored_ah: float) -> StationRun:
    """Return the run with another charge at the start of ``step``, and what follows from it.

    What was before stays as it was, so that charge jumps there: its ledger does not close.

    Parameters
    ----------
    stored_ah : charge measured there, held to what the battery can store [Ah].
    """
    inputs, bounds, step_h = run.inputs, run.inputs.bounds, run.clock.step_h
    before, state = advance(inputs.course.part(0, step), bounds, inputs.start, step_h)
    stored_ah = min(max(stored_ah, 0.0), bounds.full_ah)
    back = state.dropped and stored_ah > BACK_AT_FRACTION * bounds.full_ah
    state = replace(state, stored_ah=stored_ah, dropped=state.dropped and not back)
    after, end = advance(inputs.course.part(step, run.clock.steps), bounds, state, step_h)
    trace = _joined(before, after, step)
    return replace(run, trace=trace, flow=flows(inputs, trace), end=end)


def _joined(before: Trace, after: Trace, step: int) -> Trace:
    return Trace(
        stored_ah=before.stored_ah + after.stored_ah,
        bus_v=before.bus_v + after.bus_v,
        battery_a=before.battery_a + after.battery_a,
        loads_off=before.loads_off + [at + step for at in after.loads_off],
        radio_off=before.radio_off + [(at + step, cause) for at, cause in after.radio_off],
        reduced=before.reduced + [replace(low, step=low.step + step) for low in after.reduced],
        drops=before.drops + [(at + step, cause) for at, cause in after.drops],
        laptop_supply_w=before.laptop_supply_w + after.laptop_supply_w,
    )
