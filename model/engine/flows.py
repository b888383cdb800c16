"""Everything a run did in each step, worked out from the trace of the step rule."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.engine.inputs import Inputs
from model.engine.outcome import USES, Use
from model.engine.own_store import store_offer_a
from model.engine.step_values import Trace
from model.engine.sub_rules import ARRAYS, charging_limits_a, panel_offer
from model.station.chemistry import Floats
from model.station.emission import mean_a, mean_square_a2
from model.station.panel_curve import tied_through_lead_a


@dataclass(frozen=True, eq=False)
class Flows:
    """Step means, each of shape (steps,); currents at the bus.

    Attributes
    ----------
    stored_ah : charge at the start of each step [Ah].
    rest_v, resistance_ohm : of the battery at that charge and temperature [V], [ohm].
    bus_v, battery_v, radio_v : where the loads join, at the battery, at the radio [V].
    battery_a : out of the battery; negative while charging [A].
    drawn_a : battery_a with what lead loses to rate [A].
    use_a : current of each use [A].
    load_a : their sum [A].
    radio_a : the radio alone [A].
    spread_a2, radio_square_a2, amplifier_square_a2 : variance of the load current within the
        step, and mean squares, for heat in leads and battery [A²].
    laptop_supply_w : into the laptop's converter [W].
    laptop_w : what the laptop took, its own recharging included [W].
    charger_a, panel_a : used of chargers and like sources, and of the panel [A].
    charger_able_a, panel_able_a : what they could have given [A].
    panel_source_w, panel_source_a : what the panel offers at the bus [W], [A].
    panel_tied : whether it works at the battery's volts.
    ceiling_v : as far as the bus can rise while it is fed, inf where nothing feeds it [V].
    loads_on, radio_on : whether they were.
    sent_sqrt_w : square root of the power sent, nan outside sending [sqrt(W)].
    """

    stored_ah: Floats
    rest_v: Floats
    resistance_ohm: Floats
    bus_v: Floats
    battery_v: Floats
    radio_v: Floats
    battery_a: Floats
    drawn_a: Floats
    use_a: dict[Use, Floats]
    load_a: Floats
    radio_a: Floats
    spread_a2: Floats
    radio_square_a2: Floats
    amplifier_square_a2: Floats
    laptop_supply_w: Floats
    laptop_w: Floats
    charger_a: Floats
    charger_able_a: Floats
    panel_a: Floats
    panel_able_a: Floats
    panel_source_w: Floats
    panel_source_a: Floats
    panel_tied: np.ndarray
    ceiling_v: Floats
    loads_on: np.ndarray
    radio_on: np.ndarray
    sent_sqrt_w: Floats


def flows(inputs: Inputs, trace: Trace) -> Flows:
    """Work out every flow of a run from its inputs and its trace."""
    bounds = inputs.bounds
    stored = np.array(trace.stored_ah)
    bus_v, battery_a = np.array(trace.bus_v), np.array(trace.battery_a)
    grid = np.linspace(0.0, 1.0, len(bounds.rest_table_v))
    fraction = stored / bounds.full_ah
    rest_v = np.interp(fraction, grid, bounds.rest_table_v)
    resistance = np.asarray(inputs.kept_course.resistance_ohm) * np.interp(
        fraction, grid, bounds.charge_resistance_factor
    )
    radio = _radio_and_amplifier(inputs, trace)
    supply_w = np.array(trace.laptop_supply_w) if trace.laptop_supply_w else inputs.static_laptop_w
    supply_w = np.where(radio.loads_on, supply_w, 0.0)
    use_a = _uses(inputs, radio, bus_v, supply_w)
    load_a = sum((use_a[use] for use in USES), np.zeros(stored.size))
    rated = bounds.rated_a
    over_rate = np.maximum(battery_a / rated, 1.0)
    if rated < np.inf:
        over_rate **= np.asarray(inputs.kept_course.rate_excess)
    source_w, source_a, tied = _panel_source(inputs, rest_v, bus_v)
    able_a = source_a + source_w / bus_v
    charger_able_a = _charger_able_a(inputs, trace)
    offered = (source_w > 0) | (source_a > 0) | (charger_able_a > 0)
    limit_a = charging_limits_a(
        bounds, stored, rest_v, resistance, inputs.step_min / 60, inputs.climate.charge_rate_per_h
    )
    sources_a = np.maximum(load_a - battery_a, 0.0)
    charger_a = np.clip(sources_a - able_a, 0.0, charger_able_a)
    return Flows(
        stored_ah=stored,
        rest_v=rest_v,
        resistance_ohm=resistance,
        bus_v=bus_v,
        battery_v=bus_v + bounds.battery_lead_ohm * battery_a,
        radio_v=bus_v - bounds.radio_lead_ohm * radio.radio_a,
        battery_a=battery_a,
        drawn_a=battery_a * over_rate,
        use_a=use_a,
        load_a=load_a,
        radio_a=radio.radio_a,
        spread_a2=radio.spread_a2,
        radio_square_a2=radio.radio_square_a2,
        amplifier_square_a2=radio.amplifier_square_a2,
        laptop_supply_w=supply_w,
        laptop_w=supply_w * bounds.laptop_efficiency,
        charger_a=charger_a,
        charger_able_a=charger_able_a,
        panel_a=sources_a - charger_a,
        panel_able_a=able_a,
        panel_source_w=source_w,
        panel_source_a=source_a,
        panel_tied=tied,
        ceiling_v=np.where(
            offered, rest_v + (resistance + bounds.battery_lead_ohm) * limit_a, np.inf
        ),
        loads_on=radio.loads_on,
        radio_on=radio.radio_on,
        sent_sqrt_w=radio.sent_sqrt_w,
    )


def _charger_able_a(inputs: Inputs, trace: Trace) -> Floats:
    """Return what all sources but the panel offer, one with a store while it lasts. [A]"""
    loads = inputs.loads
    if not loads.store_a.size:
        return loads.charger_a
    left = np.array(trace.store_fraction)
    stored_a: Floats = store_offer_a(
        inputs.bounds, loads.store_a, left, inputs.step_min / 60, ARRAYS
    )
    return loads.charger_a + stored_a


def _uses(inputs: Inputs, radio: _Radio, bus_v: Floats, supply_w: Floats) -> dict[Use, Floats]:
    """Return what each use draws at the bus. [A]"""
    use_a: dict[Use, Floats] = {
        "receive": radio.receive_a,
        "transmit": radio.transmit_a,
        "amplifier_idle": radio.amplifier_idle_a,
        "off": radio.off_a,
    } | {
        use: (drawn.current_a + drawn.power_w / bus_v) * radio.loads_on
        for use, drawn in inputs.loads.drawn.items()
    }
    use_a["laptop"] = use_a["laptop"] + supply_w / bus_v
    return use_a


def _panel_source(
    inputs: Inputs, rest_v: Floats, bus_v: Floats
) -> tuple[Floats, Floats, np.ndarray]:
    """Return what the panel offers at the bus, as power or current, and where it is tied."""
    curve, bounds = inputs.curve, inputs.bounds
    none = np.zeros(rest_v.size)
    if curve is None:
        return none, none, none > 0
    tied, limited, free = panel_offer(
        rest_v, curve.open_circuit_v, curve.maximum_power_v, inputs.panel_output_w, bounds
    )
    amperes = none
    if tied.any():
        amperes = tied_through_lead_a(curve, bus_v, bounds.panel_lead_ohm)
        amperes = np.minimum(amperes * bounds.controller_efficiency, bounds.output_limit_a)
    source_a = np.where(tied, amperes, 0.0)
    if limited.any():
        source_a = np.where(limited, bounds.output_limit_a, source_a)
    return np.where(free, inputs.panel_output_w, 0.0), source_a, tied


@dataclass(eq=False)
class _Radio:
    """Radio and amplifier in each step, as planned and then as it came."""

    loads_on: np.ndarray
    radio_on: np.ndarray
    receive_a: Floats
    transmit_a: Floats
    amplifier_idle_a: Floats
    off_a: Floats
    radio_a: Floats
    radio_square_a2: Floats
    amplifier_square_a2: Floats
    spread_a2: Floats
    sent_sqrt_w: Floats


def _radio_and_amplifier(inputs: Inputs, trace: Trace) -> _Radio:
    loads = inputs.loads
    steps = inputs.steps
    loads_on, radio_on = np.ones(steps, dtype=bool), np.ones(steps, dtype=bool)
    loads_on[trace.loads_off] = False
    radio_on[[step for step, _ in trace.radio_off]] = False
    radio_a = loads.radio_rest_a + loads.radio_send_a
    amplifier_a = loads.amplifier_rest_a + loads.amplifier_send_a
    roots = np.array([how.rf_w**0.5 for how in loads.sendings] + [np.nan])
    came = _Radio(
        loads_on,
        radio_on & loads_on,
        loads.receive_a.copy(),
        loads.radio_send_a + loads.amplifier_send_a,
        loads.amplifier_rest_a.copy(),
        loads.off_a.copy(),
        radio_a,
        loads.radio_square_a2.copy(),
        loads.amplifier_square_a2.copy(),
        np.maximum(loads.both_square_a2 - (radio_a + amplifier_a) ** 2, 0.0),
        roots[loads.send_row],
    )
    _lower(inputs, trace, came)
    silent = ~came.radio_on
    if silent.any():
        _silence(inputs, came, silent)
    return came


def _lower(inputs: Inputs, trace: Trace, came: _Radio) -> None:
    """Put in the steps that were sent at less than planned."""
    if not trace.reduced:
        return
    step = np.array([lowered.step for lowered in trace.reduced])
    root = np.array([lowered.sqrt_w for lowered in trace.reduced])
    amplified = np.array([lowered.amplified for lowered in trace.reduced])
    row = inputs.loads.send_row[step]
    for block in np.unique(row):
        for by_amplifier in (False, True):
            alike = (row == block) & (amplified == by_amplifier)
            if alike.any():
                _lower_alike(inputs, came, block, step[alike], root[alike], by_amplifier)


def _lower_alike(
    inputs: Inputs, came: _Radio, block: int, step: np.ndarray, root: Floats, amplified: bool
) -> None:
    """Put in the steps of one block in which the same parts sent at less than planned."""
    loads = inputs.loads
    how, factors = inputs.course.sending[step[0]], loads.sendings[block].emission
    assert how is not None
    sends = root > 0.0
    # Where no power holds, what was to be sent is listened through.
    share = loads.send_share[step]
    sent, listened = np.where(sends, share, 0.0), np.where(sends, 0.0, share * loads.listening_a)
    rest_a = loads.radio_rest_a[step] + listened
    idle_a = (loads.amplifier_rest_a if amplified else loads.amplifier_out_a)[step]
    bias, slope = (how.laws if amplified else how.bare_laws)[:2]
    amplifier_bias, amplifier_slope = how.laws[2:] if amplified else (idle_a, 0.0)
    radio_a = mean_a(bias, slope * root, factors.current_factor)
    amplifier_a = mean_a(amplifier_bias, amplifier_slope * root, factors.current_factor)
    # Between transmissions both draw their mean over the rest of the step.
    still = 1.0 - sent
    rests = still > 0.0
    calm_a = np.divide(rest_a, still, out=np.zeros_like(still), where=rests)
    gap_a = np.divide(idle_a, still, out=idle_a.copy(), where=rests) if amplified else idle_a
    square, amplifier_square, both = (
        mean_square_a2(of_bias, of_slope * root, factors)
        for of_bias, of_slope in (
            (bias, slope),
            (amplifier_bias, amplifier_slope),
            (bias + amplifier_bias, slope + amplifier_slope),
        )
    )
    came.amplifier_idle_a[step] = idle_a
    came.sent_sqrt_w[step] = root
    came.receive_a[step] += listened
    came.transmit_a[step] = sent * (radio_a + (amplifier_a if amplified else 0.0))
    came.radio_a[step] = mean_radio_a = rest_a + sent * radio_a
    came.radio_square_a2[step] = sent * square + still * calm_a**2
    came.amplifier_square_a2[step] = sent * amplifier_square + still * gap_a**2
    mean = mean_radio_a + sent * amplifier_a + still * gap_a
    spread = sent * both + still * (calm_a + gap_a) ** 2 - mean**2
    came.spread_a2[step] = np.where(sends, np.maximum(spread, 0.0), 0.0)


def _silence(inputs: Inputs, came: _Radio, silent: np.ndarray) -> None:
    """Put in the steps in which the radio, or everything, was off."""
    only_radio = silent & came.loads_on
    off_a = np.where(only_radio, inputs.bounds.off_a, 0.0)
    out_a = np.where(only_radio, inputs.loads.amplifier_out_a, 0.0)
    for array, value in (
        (came.receive_a, 0.0),
        (came.transmit_a, 0.0),
        (came.amplifier_idle_a, out_a),
        (came.off_a, off_a),
        (came.radio_a, off_a),
        (came.radio_square_a2, off_a**2),
        (came.amplifier_square_a2, out_a**2),
        (came.spread_a2, 0.0),
    ):
        array[silent] = value[silent] if isinstance(value, np.ndarray) else value
    came.sent_sqrt_w[silent & ~np.isnan(came.sent_sqrt_w)] = 0.0
