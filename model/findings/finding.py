"""What a finding is, and what a rule is shown of the scenario."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from model.scenario.scenario import Block, Day, Site
from model.scenario.station import Station
from model.sky.trip import Trip
from model.station.fuses import lead_currents_a
from model.station.transmit_path import SendingWay, way_for
from model.support.figures import unbroken

Level = Literal["error", "warning", "hint"]


@dataclass(frozen=True)
class Finding:
    """One remark at one field.

    Attributes
    ----------
    level : an error is a fault to put right; a warning and a hint are not.
    path : dotted path of the field, 0-based.
    sentence : what is the matter, in words and numbers.
    remedy : what to do about it.
    withholds : whether an error withholds the station's run. A fuse too large for its lead does
        not: the sums hold all the same, and they show what a thicker lead would change.
    """

    level: Level
    path: str
    sentence: str
    remedy: str = ""
    withholds: bool = True

    def __post_init__(self) -> None:
        for name in ("sentence", "remedy"):
            object.__setattr__(self, name, unbroken(getattr(self, name)))


@dataclass(frozen=True)
class Setting:
    """What the rules about place, day and plan are shown.

    Attributes
    ----------
    day : as the file gives it.
    trip : the same with its weather as it counts.
    """

    site: Site
    day: Day
    trip: Trip
    plan: tuple[Block, ...]


@dataclass(frozen=True)
class Planned:
    """The block that asks a station for most power, and how the station answers.

    Attributes
    ----------
    block_index : its place in the plan.
    asked_w, given_w : power asked for and given [W].
    way : how the power is made.
    """

    block_index: int
    asked_w: float
    given_w: float
    way: SendingWay

    @property
    def key_down_a(self) -> float:
        """Current of radio and amplifier with the key down [A]."""
        return self.way.current_a(self.given_w)


@dataclass(frozen=True)
class Subject:
    """One station with everything that a rule may hold it against."""

    setting: Setting
    station: Station

    @cached_property
    def planned(self) -> Planned | None:
        """The most demanding block; None where the plan sends nothing."""
        sending = [
            (block.rf_w, index) for index, block in enumerate(self.setting.plan) if block.sends
        ]
        if not sending:
            return None
        asked_w, index = max(sending, key=lambda entry: entry[0])
        way, given_w = way_for(self.station, asked_w)
        return Planned(index, asked_w, given_w, way)

    @cached_property
    def carried_a(self) -> dict[str, float]:
        """Current in the leads to each part at the highest power planned [A]."""
        return lead_currents_a(self.station, self.planned.asked_w if self.planned else 0.0)


# Rules of the setting give whole paths; rules of a station give paths below the station.
SettingRule = Callable[[Setting], Iterator[Finding]]
StationRule = Callable[[Subject], Iterator[Finding]]


def clock_span(block: Block) -> str:
    """Return when a block runs, as written on a schedule."""
    return f"{block.start}–{block.end}"
