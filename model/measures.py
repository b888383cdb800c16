"""Things an operator can do differently with one station, each ready to be run again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal

from model.parts import Extra, Station
from model.scenario import Block
from model.sending import alone, highest_planned_w

# Watch the first five minutes of each hour: the published wilderness-listening custom.
SHORT_WATCH_SHARE = 5 / 60


@dataclass(frozen=True)
class Setup:
    """One station with the plan it follows and the extras of others that it carries."""

    station: Station
    plan: tuple[Block, ...]
    shared: tuple[Extra, ...] = ()


@dataclass(frozen=True)
class Measure:
    """One change.

    Attributes
    ----------
    key : a short fixed name.
    kind : a habit costs nothing to carry, gear does.
    words : what to do, as an order.
    price : what is given up.
    setup : the station and plan with the change made.
    """

    key: str
    kind: Literal["habit", "gear"]
    words: str
    price: str
    setup: Setup


def measures(setup: Setup) -> tuple[Measure, ...]:
    """Return the habits that save charge, in no order of merit: what to switch off first."""
    return tuple(_habits(setup))


def gear_changes(setup: Setup) -> tuple[Measure, ...]:
    """Return what carrying or placing things otherwise could do."""
    return tuple(_gear(setup))


def all_at_once(setup: Setup) -> Setup:
    """Return the setup with every habit taken up: the leanest way to go on."""
    lean = setup
    for key in [measure.key for measure in measures(setup)]:
        found = [measure for measure in measures(lean) if measure.key == key]
        lean = found[0].setup if found else lean
    return lean


def listen_only(setup: Setup) -> Setup:
    """Return the setup with amplifier, computer and drawing extras off."""
    station = setup.station.model_copy(update={"amplifier": None, "laptop": None})
    return _without_extras(replace(setup, station=station))


def _habits(setup: Setup) -> Iterator[Measure]:
    yield from _amplifier_habits(setup)
    if any(_is_long_watch(block) for block in setup.plan):
        plan = tuple(
            block.model_copy(update={"listen_share": SHORT_WATCH_SHARE})
            if _is_long_watch(block)
            else block
            for block in setup.plan
        )
        yield Measure(
            "short_watch",
            "habit",
            "keep watch only the first 5 minutes of each hour",
            "calls at other times",
            replace(setup, plan=plan),
        )
    yield from _computer_habits(setup)
    yield from _power_habits(setup)
    drawing = [extra for extra in (*setup.station.extras, *setup.shared) if _draws(extra)]
    if drawing:
        names = ", ".join(extra.name or "an extra" for extra in drawing)
        yield Measure(
            "extras_off", "habit", "switch the extras off", names, _without_extras(setup)
        )


def _amplifier_habits(setup: Setup) -> Iterator[Measure]:
    amplifier = setup.station.amplifier
    if amplifier is None:
        return
    if amplifier.out_of_session != "off":
        yield Measure(
            "amplifier_off",
            "habit",
            "switch the amplifier off outside nets",
            "a few seconds before the next net",
            _with_part(setup, "amplifier", out_of_session="off"),
        )
    if amplifier.in_session == "operate":
        yield Measure(
            "amplifier_standby",
            "habit",
            "keep the amplifier in standby between transmissions",
            "a quick reply",
            _with_part(setup, "amplifier", in_session="standby"),
        )


def _computer_habits(setup: Setup) -> Iterator[Measure]:
    laptop = setup.station.laptop
    if laptop is None or laptop.runs == "never":
        return
    if laptop.runs == "always":
        yield Measure(
            "computer_in_data",
            "habit",
            "run the computer only in data blocks",
            "the computer at other times",
            _with_part(setup, "laptop", runs="data"),
        )
    yield Measure(
        "computer_off",
        "habit",
        "leave the computer off",
        "data messages",
        _with_part(setup, "laptop", runs="never"),
    )


def _power_habits(setup: Setup) -> Iterator[Measure]:
    given_w = highest_planned_w(setup.station, setup.plan)
    bare_w = alone(setup.station).highest_w
    if setup.station.amplifier is not None and 0 < bare_w < given_w:
        station = setup.station.model_copy(update={"amplifier": None})
        yield Measure(
            "without_amplifier",
            "habit",
            f"send with the radio alone, {bare_w:g} W",
            "signal",
            replace(setup, station=station),
        )
    low_w = given_w / 10
    if given_w > 0 and low_w >= setup.station.radio.lowest_rf_w:
        plan = tuple(
            block.model_copy(update={"rf_w": min(block.rf_w, low_w)}) for block in setup.plan
        )
        yield Measure(
            "tenth_power",
            "habit",
            f"send at {low_w:g} W",
            "10 dB of signal",
            replace(setup, plan=plan),
        )


def _gear(setup: Setup) -> Iterator[Measure]:
    battery, panel = setup.station.battery, setup.station.panel
    if battery.kept != "warm":
        yield Measure(
            "battery_warm",
            "gear",
            "keep the battery warm, inside clothing or shelter",
            "a warm place",
            _with_part(setup, "battery", kept="warm"),
        )
    if panel is not None and panel.mount != "re-aimed":
        yield Measure(
            "re_aim",
            "gear",
            "turn the panel to the sun every 3 h",
            "someone to turn it",
            _with_part(setup, "panel", mount="re-aimed", re_aim_hours=3.0),
        )
    yield Measure(
        "second_battery",
        "gear",
        "carry one more battery like it",
        f"{battery.mass_kg:.1f} kg" if battery.mass_kg else "its weight",
        _with_part(setup, "battery", count=battery.count + 1),
    )
    if panel is not None:
        yield Measure(
            "second_panel",
            "gear",
            "carry one more panel like it",
            f"{panel.mass_kg:.1f} kg" if panel.mass_kg else "its weight",
            _with_part(setup, "panel", count=panel.count + 1),
        )


def _is_long_watch(block: Block) -> bool:
    return block.activity == "watch" and block.listen_share > SHORT_WATCH_SHARE


def _draws(extra: Extra) -> bool:
    return bool(extra.power_w or extra.current_a)


def _without_extras(setup: Setup) -> Setup:
    kept = tuple(extra for extra in setup.station.extras if not _draws(extra))
    shared = tuple(extra for extra in setup.shared if not _draws(extra))
    return replace(
        setup, station=setup.station.model_copy(update={"extras": kept}), shared=shared
    )


def _with_part(setup: Setup, slot: str, **fields: Any) -> Setup:
    """Return the setup with fields of one part replaced by values known to be valid."""
    part = getattr(setup.station, slot).model_copy(update=fields)
    return replace(setup, station=setup.station.model_copy(update={slot: part}))
