"""Who fails with the key down, on arrays of kits: looked at only for those who are in doubt."""

from __future__ import annotations

from collections.abc import Mapping
from types import SimpleNamespace
from typing import Any

import numpy as np

from model.engine.batch_notes import Booleans
from model.engine.fleet import Each, KeyDown
from model.engine.sub_rules import key_down
from model.engine.tied_panel import CURVE, LIMITS, of_those, settled_tied_each_a
from model.station.chemistry import Floats

COURSE = ("other_a", "charger_a", "amplifier_out_a")
TESTED = (
    "radio_lead_ohm", "radio_min_v", "amplifier_lead_ohm", "amplifier_min_v", "discharge_limit_a",
)  # fmt: skip


def key_down_fails(
    key: KeyDown,
    bounds: Any,
    now: Mapping[str, Any],
    doubtful: Booleans,
    rest_v: Floats,
    ohm: Each,
    source_a: Each,
    power_w: Each,
    ceiling_v: Each,
    bus_v: Floats,
    tied: Booleans | None,
) -> Booleans:
    """Return who of the doubtful fails with the key down.

    Parameters
    ----------
    key, doubtful : the currents the clock is tested at [A]; who is asked about.
    bounds, now : limits and the course of this step, each one number or shape (members,).
    rest_v, bus_v : of the battery at rest, and where the loads join, shape (members,) [V].
    ohm : of the battery with its lead, number or shape (members,) [ohm].
    source_a, power_w : what the panel gives as a current [A]; all loads less the panel's power [W],
        number or shape (members,) each.
    ceiling_v : as far as the bus can rise, inf where unfed, number or shape (members,) [V].
    tied : whose panel is tied; it gives what it gives at the bus volts of the step.

    Returns
    -------
    Booleans, shape (members,).
    """
    who = np.flatnonzero(doubtful)
    few, few_now, few_key, beside_a = _of_few(key, bounds, now, who)
    given_a, few_tied = of_those(source_a, who), None if tied is None else tied[who]

    def holds(given_a: Each) -> Booleans:
        held, _, _, _ = key_down(
            few,
            few_key.radio_a,
            few_key.amplifier_a,
            amplified=key.amplified,
            rest_v=rest_v[who],
            ohm=of_those(ohm, who),
            beside_a=beside_a - given_a,
            power_w=of_those(power_w, who),
            ceiling_v=of_those(ceiling_v, who),
        )
        return np.asarray(held)

    if few_tied is None:
        fails = ~holds(given_a)
    else:
        # Whoever holds without a tied panel holds with it.
        fails = ~holds(np.where(few_tied, 0.0, given_a))
        few_tied &= fails
        if few_tied.any():
            at_bus_a = settled_tied_each_a(few_now, few, few_tied, bus_v[who], 0.0, 0.0, 0.0)
            fails &= ~holds(np.where(few_tied, at_bus_a, given_a))
    found: Booleans = np.zeros(doubtful.size, dtype=bool)
    found[who] = fails
    return found


def _of_few(
    key: KeyDown, bounds: Any, now: Mapping[str, Any], who: np.ndarray
) -> tuple[Any, dict[str, Any], KeyDown, Each]:
    """Return limits, course, currents and what is drawn beside them, of those asked about."""
    few = SimpleNamespace(
        **{name: of_those(getattr(bounds, name), who) for name in (*TESTED, *LIMITS)}
    )
    few_now = {name: of_those(now[name], who) for name in (*COURSE, *CURVE)}
    few_key = KeyDown(of_those(key.radio_a, who), of_those(key.amplifier_a, who), key.amplified)
    beside_a = few_now["other_a"] - few_now["charger_a"]
    if not key.amplified:
        beside_a = beside_a + few_now["amplifier_out_a"]
    return few, few_now, few_key, beside_a
