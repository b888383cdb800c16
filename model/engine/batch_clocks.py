"""Who fails with the key down, on arrays of kits: looked at only for those who are in doubt."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from model.engine.batch_notes import Flags
from model.engine.batch_power import key_down_holds
from model.engine.batch_tied import CURVE, LIMITS, of_those, settled_tied_a
from model.engine.fleet import Each, KeyDown
from model.station.chemistry import Floats

COURSE = ("other_a", "charger_a", "amplifier_out_a")
TESTED = (
    "radio_lead_ohm", "radio_min_v", "amplifier_lead_ohm", "amplifier_min_v", "discharge_limit_a",
)  # fmt: skip


def key_down_fails(
    key: KeyDown,
    limits: Mapping[str, Each],
    now: Mapping[str, Any],
    doubtful: Flags,
    rest_v: Floats,
    ohm: Each,
    source_a: Each,
    power_w: Each,
    ceiling_v: Each,
    bus_v: Floats,
    tied: Flags | None,
) -> Flags:
    """Return who of the doubtful fails with the key down, shape (members,).

    Parameters
    ----------
    source_a, power_w, ceiling_v : as in ``model.engine.batch_power.key_down_holds``.
    tied : whose panel is tied; it gives what it gives at the bus volts of the step. [V]
    """
    who = np.flatnonzero(doubtful)
    few_limits = {name: of_those(limits[name], who) for name in (*TESTED, *LIMITS)}
    few_now = {name: of_those(now[name], who) for name in (*COURSE, *CURVE)}
    few_key = KeyDown(of_those(key.radio_a, who), of_those(key.amplifier_a, who), key.amplified)
    given_a, few_tied = of_those(source_a, who), None if tied is None else tied[who]

    def holds(given_a: Each) -> Flags:
        return key_down_holds(
            few_key, few_limits, few_now, rest_v[who], of_those(ohm, who), given_a,
            of_those(power_w, who), of_those(ceiling_v, who),
        )  # fmt: skip

    if few_tied is None:
        fails = ~holds(given_a)
    else:
        # Whoever holds without a tied panel holds with it.
        fails = ~holds(np.where(few_tied, 0.0, given_a))
        few_tied &= fails
        if few_tied.any():
            at_bus_a = settled_tied_a(few_now, few_limits, few_tied, bus_v[who], 0.0, 0.0, 0.0)
            fails &= ~holds(np.where(few_tied, at_bus_a, given_a))
    found: Flags = np.zeros(doubtful.size, dtype=bool)
    found[who] = fails
    return found
