"""Things an operator can do differently, each as a changed scenario to be run again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from model.results.wording import listed
from model.scenario.kinds import KINDS
from model.scenario.scenario import Scenario
from model.scenario.station import Lead, Station
from model.station.conductors import conductor_mm2
from model.station.decibels import decibels
from model.station.part_loads import LOADS
from model.station.transmit_path import alone, way_for
from model.support.figures import amount, entered

# Watch the first five minutes of each hour: the published wilderness-listening custom.
# Kinds of loads that have habits of their own.
_TOLD = ("tuner", "laptop", "extra")
SHORT_WATCH_SHARE = 5 / 60


@dataclass(frozen=True)
class Action:
    """One change, for one station.

    Attributes
    ----------
    key : a short fixed name.
    kind : "habit" costs nothing to carry, "gear" does.
    words : what to do, as an order.
    loses : what is given up, as a sentence without its full stop.
    changed : the scenario with the change made.
    """

    key: str
    kind: Literal["habit", "gear"]
    words: str
    loses: str
    changed: Scenario


def all_actions(scenario: Scenario, index: int) -> tuple[Action, ...]:
    """Return what can be done differently with one station, in no order of merit.

    A change of the plan is for this station: other runs of the changed scenario mean nothing.
    """
    return (*habits(scenario, index), *gear(scenario, index))


def habits(scenario: Scenario, index: int) -> Iterator[Action]:
    """Yield what can be done with what is carried: the rungs of "switch off first"."""
    station = scenario.stations[index]
    yield from _amplifier_habits(scenario, index, station)
    if any(
        block.activity == "watch" and block.listen_share > SHORT_WATCH_SHARE
        for block in scenario.plan
    ):
        plan = tuple(
            block.model_copy(update={"listen_share": min(block.listen_share, SHORT_WATCH_SHARE)})
            if block.activity == "watch"
            else block
            for block in scenario.plan
        )
        yield Action(
            "short_watch",
            "habit",
            "watch only the first 5 minutes of each hour",
            "You would miss calls at other times",
            scenario.model_copy(update={"plan": plan}),
        )
    yield from _computer_habits(scenario, index, station)
    yield from _power_habits(scenario, index, station)
    drawing = [e for e in station.extras if e.power_w or e.current_a]
    if drawing:
        kept = tuple(e for e in station.extras if e not in drawing)
        yield Action(
            "extras_off",
            "habit",
            "switch the extras off",
            f"You would be without {listed([e.name or 'an extra' for e in drawing])}",
            _with(scenario, index, extras=kept),
        )
    yield from _other_habits(scenario, index, station)


def _other_habits(scenario: Scenario, index: int, station: Station) -> Iterator[Action]:
    """Yield that every other load be switched off, one kind after another."""
    for kind in KINDS:
        if kind.role != "load" or kind.key not in LOADS or kind.key in _TOLD:
            continue
        use = kind.uses[0]
        held = [part for _, part in kind.held_by(station)]
        if any(getattr(part, number) for part in held for number in use.numbers):
            names = f"You would be without {listed([part.name or kind.words for part in held])}"
            without = _with(scenario, index, **{kind.slot: kind.none})
            yield Action(f"{use.key}_off", "habit", f"switch {use.words} off", names, without)


def gear(scenario: Scenario, index: int) -> Iterator[Action]:
    """Yield what can be done by carrying or placing things otherwise."""
    station = scenario.stations[index]
    battery = station.battery
    # Nothing is offered of a panel that must not be connected as it stands.
    panel = station.panel if station.controller is not None else None
    if battery.kept != "warm":
        yield Action(
            "battery_warm",
            "gear",
            f"keep the battery at {entered(battery.warm_c, '°C')} or more",
            "It needs a warm, padded place",
            _with_part(scenario, index, "battery", kept="warm"),
        )
    if any(lead.feeds != "panel" and conductor_mm2(lead) for lead in station.leads):
        yield Action(
            "thicker_leads",
            "gear",
            "use leads with twice the copper",
            "They weigh more",
            _with(scenario, index, leads=tuple(_doubled(lead) for lead in station.leads)),
        )
    if panel is not None and panel.mount != "re-aimed":
        yield Action(
            "re_aim",
            "gear",
            "turn the panel to the sun every 3 h",
            "Somebody has to turn it",
            _with_part(scenario, index, "panel", mount="re-aimed", re_aim_hours=3.0),
        )
    yield Action(
        "second_battery",
        "gear",
        "carry a second battery like it" if battery.count == 1 else "carry one more such battery",
        _adds(battery.mass_kg),
        _with_part(scenario, index, "battery", count=battery.count + 1),
    )
    if panel is not None:
        yield Action(
            "second_panel",
            "gear",
            "carry a second panel like it" if panel.count == 1 else "carry one more such panel",
            _adds(panel.mass_kg),
            _with_part(scenario, index, "panel", count=panel.count + 1),
        )


def _amplifier_habits(scenario: Scenario, index: int, station: Station) -> Iterator[Action]:
    amplifier = station.amplifier
    if amplifier is None:
        return
    if amplifier.out_of_session != "off":
        yield Action(
            "amplifier_off",
            "habit",
            "switch the amplifier off outside nets",
            "It has to be switched on before each net",
            _with_part(scenario, index, "amplifier", out_of_session="off"),
        )
    if amplifier.in_session == "operate":
        yield Action(
            "amplifier_standby",
            "habit",
            "keep the amplifier in standby between transmissions",
            "Changing over takes a little longer",
            _with_part(scenario, index, "amplifier", in_session="standby"),
        )


def _computer_habits(scenario: Scenario, index: int, station: Station) -> Iterator[Action]:
    laptop = station.laptop
    if laptop is None or laptop.runs == "never":
        return
    if laptop.runs == "always":
        yield Action(
            "computer_in_data",
            "habit",
            "run the computer only in data blocks",
            "You would not log on it at other times",
            _with_part(scenario, index, "laptop", runs="data"),
        )
    yield Action(
        "computer_off",
        "habit",
        "leave the computer off",
        "You would have no data traffic",
        _with_part(scenario, index, "laptop", runs="never"),
    )


def _power_habits(scenario: Scenario, index: int, station: Station) -> Iterator[Action]:
    sent = [block for block in scenario.plan if block.sends]
    given = [way_for(station, block.rf_w)[1] for block in sent]
    if not sent or max(given) <= 0:
        return
    bare_w = alone(station).highest_w
    if station.amplifier is not None and 0 < bare_w < max(given):
        yield Action(
            "without_amplifier",
            "habit",
            f"transmit with the radio alone, {amount(bare_w, 'W')}",
            f"Your signal would be {amount(decibels(max(given), bare_w), 'dB', 2)} weaker",
            _with(scenario, index, amplifier=None),
        )
    low_w = max(given) / 10
    if low_w >= station.radio.lowest_rf_w:
        plan = tuple(
            block.model_copy(update={"rf_w": min(block.rf_w, low_w)}) for block in scenario.plan
        )
        yield Action(
            "tenth_power",
            "habit",
            f"transmit at {amount(low_w, 'W')}",
            f"Your signal would be {amount(10.0, 'dB')} weaker",
            scenario.model_copy(update={"plan": plan}),
        )


def _adds(mass_kg: float) -> str:
    return f"It adds {amount(mass_kg, 'kg', 2)}" if mass_kg else "It adds weight"


def _doubled(lead: Lead) -> Lead:
    size_mm2 = conductor_mm2(lead)
    if lead.feeds == "panel" or size_mm2 is None:
        return lead
    return lead.model_copy(update={"size_mm2": 2 * size_mm2, "awg": None})


def _with(scenario: Scenario, index: int, **fields: Any) -> Scenario:
    """Return the scenario with fields of one station replaced by values known to be valid."""
    station = scenario.stations[index].model_copy(update=fields)
    stations = (*scenario.stations[:index], station, *scenario.stations[index + 1 :])
    return scenario.model_copy(update={"stations": stations})


def _with_part(scenario: Scenario, index: int, slot: str, **fields: Any) -> Scenario:
    part = getattr(scenario.stations[index], slot).model_copy(update=fields)
    return _with(scenario, index, **{slot: part})
