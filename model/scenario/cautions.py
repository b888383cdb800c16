"""Cautions: one text each for window and class, with a brief form for the printed page.

They repeat common practice, no source; local codes and licensed practice come first.
"""

from __future__ import annotations

from dataclasses import dataclass

from model.support.figures import unbroken

# Charging waits until this far above the limit [K]: the case warms sooner than the cells.
WARM_ENOUGH_K = 5.0


@dataclass(frozen=True)
class Caution:
    """One hazard: ``text`` for window and class, ``brief`` for paper with little room.

    What is brief of a battery may hold the places ``{coldest}``, the lowest temperature at which
    it is charged, ``{warm}``, from which on it may be, and ``{stop}``, what to do below.
    """

    text: str
    brief: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", unbroken(self.text))


PREDICTION = (
    "A prediction, not a guarantee: no life should rest on it. Carry an independent means of"
    " calling for help."
)
ELECTRICAL = "Local codes and qualified persons decide on electrical work."

POWER_LINES = Caution(
    "Keep antenna, mast and feed line well clear of power lines, even if they fall.",
    "Antenna, mast and feed line clear of power lines, even if they fall.",
)
STORM = Caution(
    "Before a storm, lower the antenna and disconnect it. Once thunder is heard, touch nothing:"
    " leave mast, wire and ridge.",
    "Before a storm: lower, disconnect. Thunder heard: touch nothing; leave mast, wire and ridge.",
)
EXPOSURE = Caution(
    "Keep everyone out of reach of the antenna and its wire ends while transmitting. Make the RF"
    " exposure evaluation that local rules require.",
    "never within reach of the wire ends. Indicative: local rules require an evaluation.",
)
LICENCE = Caution(
    "Stay within the licence: power, band, identification, with the holder present.",
    "Licence: power, band, identification, holder present.",
)
LOW_PASS = Caution(
    "An amplifier needs the low-pass filter for its band. Reduce power for full-duty modes.",
    "Amplifier: low-pass filter for the band.",
)
FUSE = Caution(
    "Fuse at the battery, never above what the conductor is rated for; on a vehicle battery fuse"
    " both leads.",
    "Fuse at the battery, within the conductor's rating; vehicle: both leads.",
)
SHORT_CIRCUIT = Caution(
    "A shorted lithium pack burns: insulate its terminals. Its fuses need the interrupting rating"
    " for a short circuit.",
    "A shorted pack burns: cover terminals; fuses need the interrupting rating.",
)
PROTECTION = Caution(
    "Never bypass a protection that has tripped.",
    "Never bypass a tripped protection.",
)
WARMED = Caution(
    "No heat packs against bare cells. Never leave a warmed pack charging unattended.",
    "No heat packs on bare cells; no warmed pack charging unattended.",
)
SLEEPING_BAG = Caution(
    "Disconnect a pack that is kept in a sleeping bag, and cover its terminals.",
    "In a sleeping bag: disconnected, terminals covered.",
)
HOT_VEHICLE = Caution(
    "Do not leave lithium in a hot vehicle. Air travel limits the watt-hours.",
    "Not in hot vehicles; air travel limits Wh.",
)
PARALLEL = Caution(
    "Packs in parallel: same chemistry and age, each charged full, within 0.1 V at rest, each with"
    " its own fuse. A lithium voltage cannot show equal charge. In the field swap packs, never"
    " join them.",
    "Parallel packs: same chemistry and age, each full, within 0.1 V at rest, own fuse each. In"
    " the field swap, never join.",
)
SWAP = Caution(
    "In the field swap packs, never join two.",
    "Swap packs, never join two.",
)
LEAD_ACID = Caution(
    "Charging a lead-acid battery releases hydrogen: ventilate, no sparks. Keep it upright.",
    "Charging a lead-acid battery releases hydrogen: ventilate, no sparks.",
)
NIMH = Caution(
    "A shorted NiMH pack burns: insulate its terminals. Overcharged it releases gas: ventilate,"
    " and use a charger for NiMH. Do not charge it while its cells are below 0 °C.",
    "A shorted NiMH pack burns; overcharged it releases gas: ventilate. No charging below"
    " {coldest}.",
)
OVER_VOLTAGE = Caution(
    "A full four-cell lithium-ion pack, or a vehicle with its engine running, may exceed what a"
    " radio is rated for: check with a meter before connecting.",
    "Check the voltage with a meter before connecting.",
)
ENGINE = Caution(
    "With the engine running, the voltage may exceed what the radio is rated for.",
    "A running engine raises the voltage.",
)
CONNECTING = Caution(
    "Connect battery to controller, then panel, then load; undo in reverse. Check polarity with a"
    " meter first.",
    "Battery to controller, then panel, then load; undo in reverse.",
)
PROFILE = Caution(
    "Set the controller to the battery's chemistry before the panel is connected.",
    "Controller set to the battery's chemistry.",
)
NO_CONTROLLER = Caution(
    "Never connect a panel to a battery without a charge controller.",
    "No charge controller: do not connect the panel.",
)
PANELS = Caution(
    "Panels in series shock and arc: cover them before touching a plug.",
    "Stake panels; cover before unplugging: in series they shock and arc.",
)
CARBON_MONOXIDE = Caution(
    "Engines and stoves make carbon monoxide: outdoors only, away from tents.",
    "Engines, stoves: carbon monoxide.",
)
INVERTER = Caution(
    "Inverter output is mains voltage and can kill.",
    "Inverter output is mains voltage and can kill.",
)
DUMMY_LOAD = Caution(
    "Transmit only into a dummy load rated for the power, 10 s at a time; it gets hot. Let the"
    " radio cool.",
    "Key down only into a rated dummy load, 10 s at a time.",
)
METERING = Caution(
    "Measure current in one lead, high range first; never across a battery's terminals. Check"
    " polarity with the meter before connecting.",
    "Ammeter in one lead, high range first; never across a battery.",
)
DISCHARGE_TEST = Caution(
    "Stay beside a discharge test: the load gets hot. Fit a cut-off that ends it.",
    "Stay beside a discharge test; the load gets hot; fit a cut-off.",
)


def cannot_judge(near: str) -> str:
    """Return what is said of people nearer than a far-field formula holds, never a distance."""
    return f"this method cannot judge nearer than {near}"


FROST = Caution(
    "Lithium below 0 °C: unplug the panel; charging damages it for good. Wait until the pack is"
    " above 5 °C.",
    "Lithium below {coldest}: {stop}; charging damages it for good. Wait until the pack is above"
    " {warm}.",
)
SITE = (POWER_LINES, STORM)
SKY = (FROST,)
PLAN = (LICENCE, EXPOSURE)
BENCH = (DUMMY_LOAD, METERING, FUSE, SHORT_CIRCUIT, DISCHARGE_TEST, LEAD_ACID)
# One line under the plan, in sight whatever else is open.
AT_THE_PLAN = (Caution(f"{LICENCE.text} {EXPOSURE.text}", LICENCE.brief),)


def texts(cautions: tuple[Caution, ...]) -> tuple[str, ...]:
    """Return cautions as the window and the class say them."""
    return tuple(each.text for each in cautions)
