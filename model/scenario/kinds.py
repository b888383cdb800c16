"""Every kind of part, one row each: what forms, files, page, library and run must know of it.

A new kind is a class with its field in ``Station``, a row here, and, where it draws or gives
current, its physics in ``model.station.part_loads`` under the same key.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal, get_origin

from model.scenario.cautions import (
    CARBON_MONOXIDE,
    CONNECTING,
    ENGINE,
    EXPOSURE,
    FUSE,
    INVERTER,
    LICENCE,
    LOW_PASS,
    NO_CONTROLLER,
    PANELS,
    PROFILE,
    SITE,
    Caution,
)
from model.scenario.station import (
    Amplifier,
    Antenna,
    Battery,
    Charger,
    Controller,
    Extra,
    Laptop,
    Lead,
    Panel,
    Part,
    Radio,
    Station,
    Tuner,
)

Role = Literal["load", "source", "store", "path", "antenna"]


@dataclass(frozen=True)
class PartUse:
    """What charge is drawn for.

    Attributes
    ----------
    key : the key in outcomes.
    words : inside a sentence.
    numbers : of the part, in each of which the current drawn is linear.
    rank : place among the uses: what a person decides first, what serves the battery last.
    """

    key: str
    words: str
    numbers: tuple[str, ...] = ()
    rank: int = 50

    @property
    def label(self) -> str:
        """What it is called in a table."""
        return self.words.removeprefix("the ")


@dataclass(frozen=True)
class PartKind:
    """A kind of part.

    Attributes
    ----------
    key : what a library file and a table of parts call it.
    part : its class, which declares its fields.
    label : on a form; ``words`` inside a sentence, the same unless stated.
    group : heading on the carry list.
    role : what it is to the battery.
    file : its file in the library.
    new : what a new one starts from: common practice, no source.
    slot : the field of ``Station`` that holds it, the key unless stated.
    uses : what it draws charge for.
    cautions : what stands beside it.
    varied : numbers that move charge or clocks, drawn within their spreads; those of its uses
        unless stated.
    first: numbers and choices that stand first in its form, the one that says most of it in front;
        the first two of those that are varied unless stated.
    """

    key: str
    part: type[Part]
    label: str
    group: str
    role: Role
    file: str
    new: Mapping[str, Any] = field(hash=False)
    slot: str = ""
    words: str = ""
    uses: tuple[PartUse, ...] = ()
    varied: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    first: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        numbers = tuple(number for use in self.uses for number in use.numbers)
        for name, usual in (
            ("slot", self.key),
            ("words", self.label.lower()),
            ("varied", numbers),
        ):
            if not getattr(self, name):
                object.__setattr__(self, name, usual)
        if not self.first:
            object.__setattr__(self, "first", self.varied[:2] or ("mass_kg",))

    @cached_property
    def is_list(self) -> bool:
        """Whether a station may carry several."""
        return get_origin(Station.model_fields[self.slot].annotation) is tuple

    @cached_property
    def is_needed(self) -> bool:
        """Whether no station is without one."""
        return Station.model_fields[self.slot].is_required()

    @cached_property
    def none(self) -> Any:
        """What stands in the field of a station that has none."""
        return () if self.is_list else None

    def held_by(self, station: Station) -> Iterator[tuple[str, Part]]:
        """Yield every part of this kind in a station, each with its path from the station on."""
        held = getattr(station, self.slot)
        if self.is_list:
            for index, part in enumerate(held):
                yield f"{self.slot}.{index}", part
        elif held is not None:
            yield self.slot, held


# Drawn by the radio and by the amplifier.
_TRANSMIT = PartUse("transmit", "transmitting", ("key_down",), 10)
_SUN = (CONNECTING, PROFILE, NO_CONTROLLER, PANELS)

KINDS: tuple[PartKind, ...] = (
    PartKind(
        "radio", Radio, "Radio", "Radio", "load", "radios.toml",
        {"receive_a": 0.25, "key_down": ((5.0, 1.6), (10.0, 2.2)), "supply_min_v": 11.5,
         "supply_max_v": 15.0, "receive_min_v": 10.0},
        uses=(
            PartUse("receive", "receiving", ("receive_a",), 0),
            _TRANSMIT,
            PartUse("off", "the radio while off", ("off_a",), 90),
        ),
        varied=("receive_a", "off_a", "key_down", "supply_min_v", "supply_max_v",
                "receive_min_v"),
        first=("receive_a", "key_down", "rf_max_w", "supply_min_v"),
    ),
    PartKind(
        "amplifier", Amplifier, "Amplifier", "Radio", "load", "amplifiers.toml",
        {"key_down": ((10.0, 5.0), (50.0, 10.0)), "standby_a": 0.05, "operate_a": 0.3,
         "supply_min_v": 12.0},
        uses=(
            _TRANSMIT,
            PartUse("amplifier_idle", "the idle amplifier",
                    ("standby_a", "operate_a"), 20),
        ),
        varied=("key_down", "standby_a", "operate_a", "supply_min_v"),
        cautions=(LICENCE, LOW_PASS),
        first=("out_of_session", "in_session", "key_down", "operate_a", "standby_a"),
    ),
    PartKind(
        "tuner", Tuner, "Tuner", "Radio", "load", "tuners.toml",
        {"idle_a": 0.01, "tuning_a": 0.5, "tuning_s": 4.0, "loss_db": 0.3},
        uses=(PartUse("tuner", "the tuner", ("idle_a", "tuning_a"), 30),),
        varied=("idle_a",),
        first=("idle_a", "loss_db"),
    ),
    PartKind(
        "antenna", Antenna, "Antenna", "Antenna", "antenna", "antennas.toml",
        {"gain_dbi": 0.0, "feed_loss_db": 0.5},
        cautions=(*SITE, EXPOSURE),
        first=("gain_dbi", "feed_loss_db"),
    ),
    PartKind(
        "laptop", Laptop, "Computer", "Computing", "load", "computers.toml",
        {"power_w": 10.0, "sleep_w": 0.5, "converter_efficiency": 0.9,
         "converter_idle_a": 0.015, "own_battery_wh": 40.0, "runs": "data"},
        uses=(
            PartUse("laptop", "the computer",
                    ("power_w", "sleep_w", "converter_idle_a"), 40),
        ),
        varied=("power_w", "sleep_w", "converter_efficiency", "converter_idle_a"),
        cautions=(INVERTER,),
        first=("power_w", "runs", "own_battery_wh"),
    ),
    PartKind(
        "battery", Battery, "Battery", "Power", "store", "batteries.toml",
        {"chemistry": "LFP", "capacity_ah": 15.0, "tested_fraction": 0.9,
         "resistance_ohm": 0.025, "charge_efficiency": 0.99, "charge_limit_a": 7.5,
         "discharge_limit_a": 20.0, "cutoff_v": 10.8, "reconnect_v": 12.4},
        uses=(
            PartUse("battery", "the battery's own monitor", ("own_a",), 85),
        ),
        varied=("capacity_ah", "tested_fraction", "resistance_ohm", "charge_efficiency",
                "cutoff_v", "own_a"),
        cautions=(FUSE,),
        first=("capacity_ah", "chemistry", "tested_fraction", "kept"),
    ),
    PartKind(
        "controller", Controller, "Controller", "Power", "source", "controllers.toml",
        {"kind": "mppt", "efficiency": 0.95, "own_a": 0.015, "output_limit_a": 10.0,
         "input_limit_v": 50.0, "start_margin_v": 5.0},
        words="charge controller",
        uses=(
            PartUse("controller", "the charge controller", ("own_a",), 80),
        ),
        varied=("efficiency", "own_a"),
        cautions=_SUN,
        first=("kind", "efficiency", "output_limit_a"),
    ),
    PartKind(
        "panel", Panel, "Panel", "Power", "source", "panels.toml",
        {"rated_w": 60.0, "other_losses": 0.15},
        varied=("rated_w", "other_losses", "power_per_c"),
        cautions=_SUN,
        first=("rated_w", "mount", "other_losses", "shade"),
    ),
    PartKind(
        "lead", Lead, "Lead", "Leads", "path", "leads.toml",
        {"feeds": "radio", "size_mm2": 2.5, "one_way_m": 1.5, "joints_mohm": 2.0,
         "fuse_a": 10.0},
        slot="leads",
        varied=("size_mm2", "one_way_m", "joints_mohm"),
        cautions=(FUSE,),
        first=("for", "size_mm2", "awg", "one_way_m", "fuse_a"),
    ),
    PartKind(
        "charger", Charger, "Charger", "Power", "source", "chargers.toml",
        {"current_a": 5.0, "hours": (("18:00", "22:00"),)},
        slot="chargers",
        cautions=(CARBON_MONOXIDE, INVERTER, ENGINE),
        first=("current_a", "hours"),
    ),
    PartKind(
        "extra", Extra, "Extra", "Extras", "load", "extras.toml",
        {"power_w": 2.0, "hours": (("18:00", "23:00"),)},
        slot="extras",
        uses=(
            PartUse("extras", "the extras", ("power_w", "current_a"), 70),
        ),
        first=("power_w", "current_a", "hours", "mass_kg"),
    ),
)  # fmt: skip


def by_slot(kinds: Iterable[PartKind]) -> Mapping[str, PartKind]:
    """Return kinds by the field of ``Station`` that holds them."""
    return {kind.slot: kind for kind in kinds}


def uses_of(kinds: Iterable[PartKind]) -> tuple[PartUse, ...]:
    """Return what kinds draw charge for, in the order in which uses are told."""
    uses = {use for kind in kinds for use in kind.uses}
    return tuple(sorted(uses, key=lambda use: (use.rank, use.key)))


KIND_OF_SLOT = by_slot(KINDS)
USES = uses_of(KINDS)


def kind_of(part: Part) -> PartKind:
    """Return the kind of a part."""
    return next(kind for kind in KINDS if isinstance(part, kind.part))
