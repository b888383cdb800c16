"""In which order a station is set up and taken down, so that no step harms a person or a part.

The order is common practice, no source; makers' instructions and local codes come first. Each
step is a row of words in which every second one is a state to be seen to, such as off or out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor
from typing import Literal

import numpy as np

from model.export.wiring import Line, Wiring, wiring
from model.results.expected_readings import Reading
from model.results.wording import choice_words, listed
from model.scenario.cautions import NO_CONTROLLER, WARM_ENOUGH_K
from model.scenario.power import AS_BATTERY
from model.scenario.scenario import Block
from model.scenario.station import Station
from model.station.chemistry import rest_v
from model.station.transmit_path import highest_planned_w, way_for
from model.support.figures import amount, number, with_unit

# Words of which every second one is a state.
Words = tuple[str, ...]
Place = Literal["antenna", "switches", "rf", "battery", "meter", "charger", "controller", "panel",
                "loads", "listen", "drive"]  # fmt: skip
# A battery within this of its charge at the start may be set up with.
CHARGE_DOUBT = 0.1
# Below this many watts a radio is set in halves.
WHOLE_WATTS_FROM = 2.0


@dataclass(frozen=True)
class Step:
    """One step: what it is about, and its words."""

    place: Place
    words: Words

    @property
    def text(self) -> str:
        """The words in one line."""
        return "".join(self.words)


@dataclass(frozen=True)
class Remedy:
    """What to look at where something does not work."""

    what: str
    words: str


def dialled_w(limit_w: float) -> float:
    """Return a limit of power as it can be set on a radio.

    Parameters
    ----------
    limit_w : the most that may be set [W].

    Returns
    -------
    Whole watts, halves below two and tenths below a half, never above the limit [W].
    """
    step = 1.0 if limit_w >= WHOLE_WATTS_FROM else 0.5 if limit_w >= 0.5 else 0.1
    return round(int(limit_w / step + 1e-9) * step, 3)


def drive_w(station: Station, plan: tuple[Block, ...]) -> float | None:
    """Return the most that the radio may drive the amplifier with, as it is dialled.

    Parameters
    ----------
    station : radio and amplifier.
    plan : what is worked.

    Returns
    -------
    Power; None where the plan needs no amplifier [W].
    """
    way, rf_w = way_for(station, highest_planned_w(station, plan))
    return driving_w(station, rf_w) if way.amplified else None


def driving_w(station: Station, rf_w: float) -> float:
    """Return what the radio is set to, so that the amplifier gives a power.

    Parameters
    ----------
    station : radio and amplifier.
    rf_w : what the amplifier is to give [W].

    Returns
    -------
    As it can be set, and not below what the radio can be turned down to [W].
    """
    gain_db = station.amplifier.gain_db if station.amplifier is not None else 0.0
    return max(dialled_w(rf_w / 10 ** (gain_db / 10)), station.radio.lowest_rf_w)


def set_up(station: Station, plan: tuple[Block, ...], watch: Reading | None) -> tuple[Step, ...]:
    """Return the steps from a bare place to a station on the air.

    Parameters
    ----------
    station, plan : what is set up, and for what.
    watch : what the whole station should draw in receive; None where that is not known.
    """
    laid = wiring(station, plan)
    return tuple(_set_up(station, plan, laid, watch))


def _set_up(
    station: Station, plan: tuple[Block, ...], laid: Wiring, watch: Reading | None
) -> Iterator[Step]:
    joined = station.panel is not None and station.controller is not None
    yield Step("antenna", ("No thunder. Antenna ", "up", ", clear of power lines even if it falls"))
    covered = (", panel ", "covered") if station.panel is not None else ()
    yield Step("switches", ("All switches ", "off", ", load plugs ", "out", *covered))
    yield Step("rf", (f"{_rf_words(station)}: ", "connected"))
    yield Step("battery", _battery_words(laid))
    yield Step("meter", _metered(station, laid))
    if station.panel is not None and not joined:
        yield Step("panel", ("", NO_CONTROLLER.brief))
    if station.controller is not None:
        yield Step("controller", _controller_words(station, laid))
    if joined:
        yield Step("panel", _panel_words(station, laid))
    for at, charger in enumerate(station.chargers):
        yield Step("charger", _charger_words(station, laid, at, charger.name))
    yield Step("loads", _loads_words(station, watch))
    if highest_planned_w(station, plan) > 0:
        words: Words = ("Licensed operator listens, identifies, tunes at ", "low power")
        yield Step("listen", words)
    else:
        yield Step("listen", ("Listen: nothing is planned to be transmitted",))
    driven_w = drive_w(station, plan)
    if driven_w is not None:
        most = with_unit(number(driven_w), "W")
        yield Step(
            "drive", ("For a net: radio ", f"{most} at most", ", then amplifier ", "operate")
        )


def _rf_words(station: Station) -> str:
    parts = ["antenna"]
    parts += ["tuner"] if station.tuner is not None else []
    parts += ["amplifier"] if station.amplifier is not None else []
    parts.append("radio")
    if station.amplifier is not None:
        parts.append("keying lead")
    words = listed(parts)
    return words[:1].upper() + words[1:]


def _battery_words(laid: Wiring) -> Words:
    if not laid.has_distribution:
        line = laid.to("radio")
        return (f"{_lead(line)}: battery end ", "connected", ", fuse ", "in", ", radio end ", "out")
    line = laid.out_of("battery")
    return (f"{_lead(line)}: battery to distribution, red to +, fuse ", "in")


def _lead(line: Line | None) -> str:
    if line is None or not line.numbers:
        return "Lead"
    return f"{'Lead' if len(line.numbers) == 1 else 'Leads'} {line.label}"


def _metered(station: Station, laid: Wiring) -> Words:
    panel = laid.to("controller") if station.panel is not None else None
    covered: Words = (
        (f"; panel lead {panel.label}, covered, red ", "+") if panel is not None else ()
    )
    plugs = f"Metered: {_fed(laid)} red "
    battery, highest_v = station.battery, station.radio.supply_max_v
    ends = (max(station.start_fraction - CHARGE_DOUBT, 0.0), 1.0)
    low, high = (
        float(v) for v in rest_v(battery.chemistry, battery.cells_in_series, np.array(ends))
    )
    # A meter that shows the lowest volts to be expected must not read as a fault.
    low = floor(low * 10) / 10
    span = f"{low:.1f} to {high:.1f}"
    if highest_v is not None and high > highest_v:
        return (plugs, "+",
                f", {with_unit(f'{low:.1f}', 'V')} or more, ",
                f"never above {with_unit(f'{highest_v:.1f}', 'V')}", *covered)  # fmt: skip
    first, *more = covered or ("",)
    return (plugs, "+", f", {with_unit(span, 'V')}{first}", *more)


def _fed(laid: Wiring) -> str:
    """Return the numbers of the leads that the battery feeds, as on their labels."""
    source = "distribution" if laid.has_distribution else "battery"
    lines = [
        each
        for each in laid.lines
        if each.kind == "DC" and each.source in (source, "controller") and each.numbers
    ]
    labels = [each.label for each in sorted(lines, key=lambda each: each.numbers)]
    return f"{'lead' if len(labels) == 1 else 'leads'} {', '.join(labels)}"


def _controller_words(station: Station, laid: Wiring) -> Words:
    controller = station.controller
    assert controller is not None
    line = laid.out_of("controller")
    profile = controller.profile
    name = station.battery.chemistry if profile == AS_BATTERY else profile
    return (f"{_lead(line)}, controller to battery side: shows battery volts, set to ",
            choice_words(name))  # fmt: skip


def _panel_words(station: Station, laid: Wiring) -> Words:
    line = laid.to("controller")
    battery = station.battery
    cold: Words = ()
    if battery.cell.frost_harms:
        warm_c = max(battery.lowest_charge_c, 0.0) + WARM_ENOUGH_K
        cold = (f" if the cells are above {amount(warm_c, '°C')}",)
    facing = _facing(station)
    return (f"{_lead(line)}, panel still covered{facing}: connect, ", "uncover", *cold)


def _facing(station: Station) -> str:
    """Return how a panel that is not turned is to stand."""
    panel = station.panel
    if panel is None or panel.mount == "re-aimed":
        return ""
    if panel.mount == "flat":
        return ", flat"
    return f", {panel.azimuth_deg:03.0f}° true, tilt {panel.tilt_deg:.0f}°"


def _charger_words(station: Station, laid: Wiring, at: int, name: str) -> Words:
    line = laid.out_of(f"charger {at}")
    called = " ".join(name.split()) or "charger"
    poles = "fuse in both leads, " if line.both_poles else ""
    highest = station.radio.supply_max_v
    most = f", below {amount(highest, 'V')}" if highest is not None else ""
    return (f"{_lead(line)}, {called}: {poles}volts and polarity metered{most}: then ", "connect")


def _loads_words(station: Station, watch: Reading | None) -> Words:
    off: Words = (", amplifier ", "off") if station.amplifier is not None else ()
    drawn: Words = ()
    if watch is not None:
        drawn = (f": {watch.low:.2f} to {with_unit(f'{watch.high:.2f}', 'A')}",)
    return ("Load plugs in, radio ", "on", *off, *drawn)


def watch_reading(readings: tuple[Reading, ...]) -> Reading | None:
    """Return what the whole station should draw in receive, None where that is not known."""
    return next((each for each in readings if each.what == "Whole station"), None)


def pack_up(station: Station, plan: tuple[Block, ...]) -> tuple[Step, ...]:
    """Return the steps from a station on the air to one that is packed."""
    laid = wiring(station, plan)
    joined = station.panel is not None and station.controller is not None
    loads = ["radio"]
    loads += ["computer"] if station.laptop is not None else []
    loads += ["extras"] if any(e.power_w or e.current_a for e in station.extras) else []
    loads = (["amplifier"] if station.amplifier is not None else []) + loads
    steps = [
        Step("listen", ("Transmitting ", "stopped")),
        Step("loads", (f"{listed(loads)} ", "off", ", load plugs ", "out")),
    ]
    if station.chargers:
        steps.append(Step("charger", ("charger ", "stopped, disconnected")))
    if joined:
        steps.append(Step("panel", ("panel ", "covered", ", then ", "unplugged",
                                    " at the controller")))  # fmt: skip
    if station.controller is not None:
        steps.append(Step("controller", ("controller ", "disconnected")))
    fuse = laid.out_of("battery")
    steps.append(Step("battery", (f"fuse {fuse.label} ", "out", ", terminals ",
                                  "covered")))  # fmt: skip
    steps.append(Step("antenna", ("antenna ", "down")))
    return tuple(steps)


THUNDER = "In thunder leave it all."


def remedies(station: Station, plan: tuple[Block, ...]) -> tuple[Remedy, ...]:
    """Return what to look at where the station does not power up, transmit or charge."""
    laid = wiring(station, plan)
    first = laid.out_of("battery")

    found = [
        Remedy(
            "power up",
            f"lead {first.label}: fuse, plugs, polarity; protection tripped: loads out, rest"
            " 10 min, never bypass",
        )
    ]
    if highest_planned_w(station, plan) > 0:
        found.append(Remedy("transmit", _transmit_words(station, laid)))
    if station.panel is not None and station.controller is not None:
        frost = ""
        if station.battery.cell.frost_harms:
            coldest_c = max(station.battery.lowest_charge_c, 0.0)
            frost = f"cells below {amount(coldest_c, '°C')}: cover, then unplug the panel; else "
        own = laid.out_of("controller")
        panel = laid.to("controller")
        assert panel is not None
        found.append(
            Remedy("charge", f"{frost}cover off, no shade; lead {panel.label}, then {own.label}")
        )
    return tuple(found)


def _transmit_words(station: Station, laid: Wiring) -> str:
    warm = [line.label for key in ("radio", "amplifier") if (line := laid.to(key)) is not None]
    leads = f"leads {', '.join(warm)} warm?" if len(warm) > 1 else f"lead {warm[0]} warm?"
    volts = station.radio.supply_min_v
    low = f" under {amount(volts, 'V')} at the radio: less power" if volts else ""
    alone = "amplifier off, radio alone; " if station.amplifier is not None else ""
    tuner = ", tuner" if station.tuner is not None else ""
    return f"{alone}antenna{tuner}; {leads}{low}"
