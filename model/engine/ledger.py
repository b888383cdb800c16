"""The ledger: every watt-hour and ampere-hour of a run, and how well they balance."""

from __future__ import annotations

import numpy as np

from model.engine.flows import Flows
from model.engine.inputs import Inputs
from model.engine.outcome import USES, Losses, PanelEnergy, Sums
from model.station.chemistry import Floats


def sums(inputs: Inputs, flow: Flows, end_ah: float) -> Sums:
    """Total a run.

    Parameters
    ----------
    inputs, flow : of the run, shape (steps,).
    end_ah : charge after the last step [Ah].

    Returns
    -------
    Charge [Ah], energy [Wh] and the greatest relative failure of any balance [1].

    Notes
    -----
    At the bus, sources + battery = loads; each current times the mean volts, less ohm x variance
    where the load swings within a step. Heat in a resistance is ohm x (mean² + variance).
    From Kirchhoff's current law and the conservation of energy.
    """
    hours, bounds, swing = inputs.step_min / 60, inputs.bounds, flow.spread_a2
    battery_heat_w = flow.resistance_ohm * (flow.battery_a**2 + swing)
    battery_lead_w = bounds.battery_lead_ohm * (flow.battery_a**2 + swing)
    load_lead_w = bounds.radio_lead_ohm * flow.radio_square_a2
    load_lead_w = load_lead_w + bounds.amplifier_lead_ohm * flow.amplifier_square_a2
    total_ohm = flow.resistance_ohm + bounds.battery_lead_ohm
    terminal_w = flow.battery_v * flow.battery_a - flow.resistance_ohm * swing
    converter_w = _converter_w(inputs, flow)
    own_w = flow.use_a["controller"] * flow.bus_v
    bus_w = sum((flow.use_a[use] * flow.bus_v for use in USES), np.zeros(swing.size))
    device_w = bus_w - total_ohm * swing - load_lead_w - converter_w - own_w
    panel, panel_lead_w, controller_loss_w = _panel(inputs, flow)
    charging = flow.battery_a < 0
    refused_w = np.where(
        charging, -flow.battery_a * (1 - bounds.charge_efficiency) * flow.rest_v, 0.0
    )
    rate_w = np.where(charging, 0.0, (flow.drawn_a - flow.battery_a) * flow.rest_v)
    charger_wh = _wh(flow.charger_a * flow.bus_v, hours)
    losses = Losses(
        battery=_wh(battery_heat_w + refused_w, hours),
        leads=_wh(load_lead_w + battery_lead_w + panel_lead_w, hours),
        converters=_wh(converter_w, hours),
        controller=_wh(controller_loss_w + own_w, hours),
        rate=_wh(rate_w, hours),
    )
    into_wh, out_wh = _wh(-np.minimum(terminal_w, 0), hours), _wh(np.maximum(terminal_w, 0), hours)
    load_wh = _wh(device_w, hours)
    came = panel.used + charger_wh + out_wh
    went = load_wh + losses.leads + losses.converters + losses.controller + into_wh
    return Sums(
        load_ah=float(flow.load_a.sum() * hours),
        load_wh=load_wh,
        by_use_ah={use: float(flow.use_a[use].sum() * hours) for use in USES},
        panel_wh=panel,
        charger_wh=charger_wh,
        losses_wh=losses,
        battery_in_wh=into_wh,
        battery_out_wh=out_wh,
        ledger_residual=max(
            abs(came - went) / max(came, went, 1e-9), _residual(inputs, flow, end_ah, total_ohm)
        ),
    )


def _converter_w(inputs: Inputs, flow: Flows) -> Floats:
    """Return what the laptop's converter loses in each step, shape (steps,). [W]"""
    idle_w = inputs.loads.drawn["laptop"].current_a * flow.bus_v * flow.loads_on
    lost_w: Floats = flow.laptop_supply_w - flow.laptop_w + idle_w
    return lost_w


def _residual(inputs: Inputs, flow: Flows, end_ah: float, total_ohm: Floats) -> float:
    return max(
        _charge_residual(inputs, flow, end_ah),
        _kirchhoff_residual(flow, total_ohm),
        _source_residual(flow),
    )


def _wh(power_w: Floats, hours: float) -> float:
    return float(power_w.sum() * hours)


def _panel(inputs: Inputs, flow: Flows) -> tuple[PanelEnergy, Floats, Floats]:
    """Return the panel's energy, and the power lost in its leads and its controller [W]."""
    hours, curve = inputs.step_min / 60, inputs.curve
    none = np.zeros(flow.bus_v.size)
    if curve is None:
        return PanelEnergy(0.0, 0.0, 0.0, 0.0), none, none
    lead_ohm = inputs.bounds.panel_lead_ohm
    efficiency = inputs.bounds.controller_efficiency
    # Through a controller that seeks the best point, panel and lead scale with what is taken,
    # also where the controller's own output is the limit.
    seeking = ~flow.panel_tied & ((flow.panel_source_w > 0) | (flow.panel_source_a > 0))
    output_w = flow.panel_a * flow.bus_v
    share, able_share = (
        np.divide(watts, inputs.panel_output_w, out=none.copy(), where=seeking)
        for watts in (output_w, flow.panel_able_a * flow.bus_v)
    )
    able_w = able_share * curve.maximum_w
    used_w, lead_w = share * curve.maximum_w, share * inputs.panel_lead_w
    # Tied, the panel's current goes through the lead as it is.
    direct = flow.panel_tied
    panel_a, panel_able_a = flow.panel_a / efficiency, flow.panel_able_a / efficiency
    lead_w = np.where(direct, panel_a**2 * lead_ohm, lead_w)
    used_w = np.where(direct, panel_a * flow.bus_v + lead_w, used_w)
    able_w = np.where(direct, panel_able_a * flow.bus_v + panel_able_a**2 * lead_ohm, able_w)
    lost_w = used_w - lead_w - output_w
    available = _wh(curve.maximum_w, hours)
    used = _wh(used_w, hours)
    spilled = _wh(np.maximum(able_w - used_w, 0.0), hours)
    return PanelEnergy(available, used, available - used - spilled, spilled), lead_w, lost_w


def _charge_residual(inputs: Inputs, flow: Flows, end_ah: float) -> float:
    """Return by how much stored charge changes otherwise than by what flowed, over capacity."""
    hours = inputs.step_min / 60
    efficiency = inputs.bounds.charge_efficiency
    flowed = np.where(flow.battery_a < 0, efficiency * flow.battery_a, flow.drawn_a) * hours
    change = np.diff(np.append(flow.stored_ah, end_ah))
    return float(np.abs(change + flowed).max() / inputs.bounds.full_ah)


def _kirchhoff_residual(flow: Flows, ohm: Floats) -> float:
    """Return the greatest miss of bus volts against rest volts less ohm x current, relative."""
    return float((np.abs(flow.bus_v - flow.rest_v + ohm * flow.battery_a) / flow.rest_v).max())


def _source_residual(flow: Flows) -> float:
    """Return the greatest current taken from sources that did not offer it, relative."""
    missing = np.maximum(flow.panel_a - flow.panel_able_a, 0.0)
    return float((missing / np.maximum(flow.load_a + np.abs(flow.battery_a), 1e-3)).max())
