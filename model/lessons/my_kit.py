"""A student's own station in five numbers: how long it lasts on its battery, and the sum."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from pydantic import Field

from model.engine.run import hours_on_battery
from model.scenario.declare import Number, Value, quantity
from model.scenario.scenario import Scenario
from model.sky.trip import planned
from model.support.figures import amount, duration, entered, number

# A year and a place as good as any: neither sun nor frost takes part.
_DAY = {"date": date(2027, 3, 6), "low_c": 25.0, "high_c": 25.0}
_SITE = {"latitude_deg": 50.0, "longitude_deg": 10.0}


class MyKit(Value):
    """What a student can measure or read off at home."""

    receive_a: Annotated[Number, Field(gt=0)] = quantity(
        "Current on receive",
        "A",
        default=0.75,
        le=100,
        decimals=3,
        help="Read from a meter in the battery lead, at the volume you use.",
    )
    listen_h: Number = quantity(
        "Hours on the air in a day",
        "h",
        default=24.0,
        gt=0,
        le=24,
        decimals=1,
        help="Switched on, transmitting or receiving; the rest of the day everything is off.",
    )
    send_a: Number = quantity(
        "Mean current on transmit",
        "A",
        default=8.0,
        ge=0,
        le=100,
        decimals=2,
        help="Mean over a transmission: in voice less than half of the key-down current.",
    )
    send_share: Number = quantity(
        "Share of that time transmitting",
        default=0.05,
        ge=0,
        le=1,
        decimals=3,
        help="3 minutes in an hour are 5\N{NO-BREAK SPACE}%.",
    )
    capacity_ah: Number = quantity(
        "Battery, as labelled",
        "Ah",
        default=15.0,
        gt=0,
        le=5000,
        decimals=1,
    )
    tested_fraction: Number = quantity(
        "Tested share of it",
        default=0.9,
        gt=0,
        le=1.2,
        decimals=2,
        help="From a discharge test. Untested: lithium 0.9, lead-acid after some years 0.5.",
    )


@dataclass(frozen=True)
class MyKitResult:
    """How long the kit lasts from full, without sun or charger.

    Attributes
    ----------
    hours : by the run, counted round the clock; None beyond 30 days [h].
    full_ah : what the battery truly holds.
    mean_a : while on the air.
    day_ah : taken in 24 hours.
    sum : lines to redo by hand.
    """

    hours: float | None
    full_ah: float
    mean_a: float
    day_ah: float
    sum: tuple[str, ...]

    @property
    def words(self) -> str:
        """The result in a few words."""
        return "over 30\N{NO-BREAK SPACE}days" if self.hours is None else duration(self.hours)


def my_kit(kit: MyKit) -> MyKitResult:
    """Return how long a kit lasts: the plan spread evenly over the day, run by the model."""
    scenario = scenario_of(kit)
    station = scenario.stations[0]
    hours = hours_on_battery(scenario.site, planned(scenario), scenario.plan, station)
    mean_a = kit.receive_a * (1 - kit.send_share) + kit.send_a * kit.send_share
    day_ah = mean_a * kit.listen_h
    full_ah = station.battery.full_ah
    return MyKitResult(hours, full_ah, mean_a, day_ah, _sum(kit))


def scenario_of(kit: MyKit) -> Scenario:
    """Return the kit as a scenario of one station.

    The current while sending is a mean already, so the block is one whose current is constant.
    """
    on = kit.listen_h / 24
    sending = on * kit.send_share
    listening = on * (1 - kit.send_share) / (1 - sending) if sending < 1 else 0.0
    block = {
        "start": "00:00", "end": "24:00", "activity": "fm", "rf_w": 1.0,
        "transmit_share": sending, "listen_share": min(listening, 1.0),
    }  # fmt: skip
    radio = {
        "receive_a": kit.receive_a,
        "key_down": ((1.0, kit.send_a), (2.0, kit.send_a)),
        "rf_min_w": 1.0,
    }
    battery = {
        "chemistry": "LFP", "capacity_ah": kit.capacity_ah, "tested_fraction": kit.tested_fraction,
    }  # fmt: skip
    return Scenario.model_validate(
        {
            "site": _SITE,
            "day": _DAY,
            "plan": (block,),
            "stations": ({"name": "My kit", "radio": radio, "battery": battery},),
        }
    )


def _sum(kit: MyKit) -> tuple[str, ...]:
    """Return the sum; each line goes on with what the line before shows, so it can be redone."""
    listen_share = _as_shown(1 - kit.send_share)
    full_ah = _as_shown(kit.capacity_ah * kit.tested_fraction)
    receiving_a = _as_shown(kit.receive_a * listen_share)
    transmitting_a = _as_shown(kit.send_a * kit.send_share)
    mean_a = _as_shown(receiving_a + transmitting_a)
    day_ah = _as_shown(mean_a * kit.listen_h)
    hours = full_ah / day_ah * 24
    return (
        f"Battery: {entered(kit.capacity_ah, 'Ah')} × {entered(kit.tested_fraction)}"
        f" = {amount(full_ah, 'Ah')}",
        f"Receiving: {entered(kit.receive_a, 'A')} × {number(listen_share)}"
        f" = {amount(receiving_a, 'A')}",
        f"Transmitting: {entered(kit.send_a, 'A')} × {entered(kit.send_share)}"
        f" = {amount(transmitting_a, 'A')}",
        f"Together {amount(receiving_a, 'A')} + {amount(transmitting_a, 'A')}"
        f" = {amount(mean_a, 'A')}",
        f"{amount(mean_a, 'A')} × {entered(kit.listen_h, 'h')} = {amount(day_ah, 'Ah')} a day",
        f"{amount(full_ah, 'Ah')} ÷ {amount(day_ah, 'Ah')} × {entered(24, 'h')}"
        f" = {amount(hours, 'h')}",
    )


def _as_shown(value: float) -> float:
    """Return a number as it is written down."""
    return float(number(value))
