"""A trace taken up again at one moment with a charge that was measured there."""

from __future__ import annotations

from dataclasses import replace

from model.engine.inputs import Inputs
from model.engine.step import advance
from model.engine.step_values import State, Trace

# Loads that were off are taken to be back once this much is in the battery.
BACK_AT_FRACTION = 0.05


def resumed(inputs: Inputs, step: int, stored_ah: float) -> tuple[Trace, State]:
    """Return the trace with another charge at the start of ``step``, and the state at its end.

    What was before stays as it was, so that charge jumps there: its ledger does not close.

    Parameters
    ----------
    inputs : of the run.
    step : where the charge is another.
    stored_ah : charge there, held to what the battery can store [Ah].

    Returns
    -------
    The trace of the whole run and the state after its last step.
    """
    bounds, step_h = inputs.bounds, inputs.step_min / 60
    before, state = advance(inputs.course.part(0, step), bounds, inputs.start, step_h)
    stored_ah = min(max(stored_ah, 0.0), bounds.full_ah)
    back = state.dropped and stored_ah > BACK_AT_FRACTION * bounds.full_ah
    state = replace(state, stored_ah=stored_ah, dropped=state.dropped and not back)
    after, end = advance(inputs.course.part(step, inputs.steps), bounds, state, step_h)
    return joined(before, after, step), end


def joined(before: Trace, after: Trace, step: int) -> Trace:
    """Return two traces as one, of which the second begins at a step of the first."""
    return Trace(
        stored_ah=before.stored_ah + after.stored_ah,
        bus_v=before.bus_v + after.bus_v,
        battery_a=before.battery_a + after.battery_a,
        loads_off=before.loads_off + [at + step for at in after.loads_off],
        radio_off=before.radio_off + [(at + step, cause) for at, cause in after.radio_off],
        reduced=before.reduced + [replace(low, step=low.step + step) for low in after.reduced],
        drops=before.drops + [(at + step, cause) for at, cause in after.drops],
        laptop_supply_w=before.laptop_supply_w + after.laptop_supply_w,
        store_fraction=before.store_fraction + after.store_fraction,
    )
