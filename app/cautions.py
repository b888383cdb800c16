"""Cautions, each beside what it concerns. They repeat common practice; local rules come first."""

from __future__ import annotations

from model.scenario.chemistries import CHEMISTRIES
from model.scenario.kinds import KIND_OF_SLOT

PREDICTION = (
    "A prediction, not a guarantee: no life should rest on it. Carry an independent means of"
    " calling for help. Local codes and qualified persons decide on electrical work."
)

_SITE = (
    "Keep antenna, mast and feed line well clear of power lines. With thunder about, take the"
    " antenna down, disconnect it and move away.",
)
_EXPOSURE = (
    "Nobody, operator or passer-by, belongs within reach of the wire or its ends while you send."
    " Make the exposure evaluation that local rules ask for.",
)
_LICENCE = (
    "Keep to the power, band and identification of the licence, and see that its holder is there.",
)
_AMPLIFIER = (
    *_LICENCE,
    "An amplifier needs the low-pass filter of its band; turn the power down for full-duty modes.",
)
_FUSE = (
    "Fuse at the battery, never above what the conductor bears; both leads on a vehicle battery.",
)
_SUN = (
    "Connect battery to controller first, then panel, then load; undo in reverse. Check polarity"
    " with a meter before each.",
    "Panels in series shock and arc: cover them before you touch a plug.",
)
_CHARGER = (
    "Engines and stoves make carbon monoxide: outdoors only, away from tents. What an inverter"
    " gives is mains.",
    "With the engine running the volts may exceed what the radio bears.",
)
PLAN = (*_LICENCE, *_EXPOSURE)
# One line under the strip, in sight whatever else is open.
AT_THE_PLAN = (
    "Within the power and band of the licence, its holder present. Nobody within reach of wire or"
    " wire ends while sending; make the exposure evaluation local rules ask for."
)
SKY = ("Lithium cells that froze overnight must warm before the panel charges them.",)
SITE = _SITE

_BY_SLOT = {
    "amplifier": _AMPLIFIER,
    "antenna": (*_SITE, *_EXPOSURE),
    "controller": _SUN,
    "panel": _SUN,
    "leads": _FUSE,
    "chargers": _CHARGER,
}


def cautions_for(path: str, chemistry: str = "") -> tuple[str, ...]:
    """Return the cautions that stand beside a part."""
    slot = path.split(".")[2] if path.count(".") >= 2 else path
    if slot == "battery":
        return (*_FUSE, *(CHEMISTRIES[chemistry].cautions if chemistry else ()))
    return _BY_SLOT.get(slot, ()) or KIND_OF_SLOT[slot].cautions
