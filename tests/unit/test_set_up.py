"""Wiring of any kit, and the order in which it is set up and packed: no step may harm."""

from __future__ import annotations

import pytest
import tomli_w

from model.export.set_up import dialled_w, drive_w, pack_up, remedies, set_up
from model.export.wiring import Wiring, wiring
from model.files.scenario_file import parse_scenario
from model.scenario.scenario import Scenario
from tests.unit.made_kits import made_kit
from tests.unit.scenario_maker import AMPLIFIER, BATTERY, NET, SMALL_RADIO, WATCH, scenario

STATIONS = [
    (parse_scenario(tomli_w.dumps(made_kit(seed)).encode()), index)
    for seed in range(12)
    for index in range(len(made_kit(seed)["stations"]))
]


def laid(given: Scenario, index: int = 0) -> Wiring:
    return wiring(given.stations[index], given.plan)


@pytest.mark.parametrize(("given", "index"), STATIONS)
def test_every_part_is_joined_and_every_dc_line_has_a_number_of_its_own(
    given: Scenario, index: int
) -> None:
    found, station = laid(given, index), given.stations[index]
    ends = {key for line in found.lines for key in (line.source, line.target)}
    assert {box.key for box in found.boxes} <= ends
    numbers = [number for line in found.lines for number in line.numbers]
    assert sorted(numbers) == list(range(1, len(numbers) + 1))
    assert numbers.count(1) == 1
    for line in found.lines:
        assert bool(line.numbers) is (line.kind == "DC")
        for number, lead in zip(line.numbers, line.leads, strict=False):
            assert station.leads[number - 1] == lead
    chain = [line for line in found.lines if line.kind == "coax"]
    assert chain[0].source == "radio"
    assert chain[-1].target == "antenna"


def test_a_radio_on_a_battery_needs_no_distribution() -> None:
    bare = scenario(station={"panel": None, "controller": None})
    found = laid(bare)
    assert not found.has_distribution
    (line,) = [each for each in found.lines if each.kind == "DC"]
    assert (line.source, line.target, line.label) == ("battery", "radio", "1 + 2")
    # The smallest fuse of the run protects all of it.
    assert line.fuse_a == 30.0


def test_amplifier_tuner_and_keying_lead_stand_in_the_chain() -> None:
    boosted = scenario(
        station={"radio": SMALL_RADIO, "amplifier": AMPLIFIER, "tuner": {"idle_a": 0.01}}
    )
    found = laid(boosted)
    coax = [(line.source, line.target) for line in found.lines if line.kind == "coax"]
    assert coax == [("radio", "amplifier"), ("amplifier", "tuner"), ("tuner", "antenna")]
    (keying,) = [line for line in found.lines if line.kind == "keying"]
    assert (keying.source, keying.target) == ("radio", "amplifier")
    assert found.to("tuner") is not None


def test_a_tied_panel_has_no_line_to_the_battery() -> None:
    found = laid(scenario(station={"controller": None}))
    (line,) = [each for each in found.lines if each.source == "panel"]
    assert line.kind == "none"
    assert not found.has_distribution


def test_a_vehicle_is_fused_in_both_conductors_and_mains_is_not() -> None:
    for name, both in (("Vehicle at noon", True), ("12 V car socket", True), ("mains", False)):
        charged = scenario(station={"chargers": ({"name": name, "current_a": 6.0},)})
        assert laid(charged).out_of("charger 0").both_poles is both


def test_two_packs_say_a_fuse_each_and_an_inverter_that_it_kills() -> None:
    given = scenario(
        station={
            "battery": {**BATTERY, "count": 2},
            "extras": ({"name": "small inverter", "power_w": 30.0},),
        }
    )
    found = laid(given)
    assert found.box("battery").detail == "2 × LFP 20\N{NO-BREAK SPACE}Ah, a fuse each"
    assert "kill" in found.box("extra 0").detail


def test_many_extras_share_one_box() -> None:
    lamps = tuple({"name": f"lamp {number}", "power_w": 2.0} for number in range(5))
    found = laid(scenario(station={"extras": lamps}))
    assert found.box("extras").name == "5 extras"
    assert found.to("extras").carries_a == pytest.approx(10.0 / 12.8, rel=0.05)


def order(steps: tuple) -> list[str]:
    return [step.place for step in steps]


@pytest.mark.parametrize(("given", "index"), STATIONS)
def test_no_step_of_setting_up_or_packing_may_harm(given: Scenario, index: int) -> None:
    station = given.stations[index]
    up = order(set_up(station, given.plan, None))
    # Clear of lines first, all off before anything is joined; battery before controller before
    # panel; metered before the loads; power before the amplifier is driven: common practice.
    wanted = ["antenna", "switches", "rf", "battery", "meter", "controller", "panel", "charger",
              "loads", "listen", "drive"]  # fmt: skip
    assert up == [place for place in wanted for each in up if each == place]
    down = order(pack_up(station, given.plan))
    back = ["listen", "loads", "charger", "panel", "controller", "battery", "antenna"]
    assert down == [place for place in back if place in down]
    assert down[-2:] == ["battery", "antenna"]
    if station.panel is not None and station.controller is not None:
        assert down.index("panel") < down.index("controller") < down.index("battery")
        covered = next(step for step in pack_up(station, given.plan) if step.place == "panel")
        assert covered.text.index("covered") < covered.text.index("unplugged")


def test_states_are_every_second_word() -> None:
    steps = {step.place: step for step in set_up(scenario().stations[0], scenario().plan, None)}
    assert steps["switches"].words[1::2] == ("off", "out", "covered")
    assert steps["battery"].words[1::2] == ("in",)


def test_a_panel_that_is_not_turned_is_told_how_to_stand() -> None:
    for mount, words in (("fixed", "covered, 135° true, tilt 30°"), ("flat", "covered, flat"),
                         ("re-aimed", "covered: connect")):  # fmt: skip
        panel = {"rated_w": 60.0, "mount": mount, "tilt_deg": 30.0, "azimuth_deg": 135.0}
        given = scenario(station={"panel": panel})
        steps = {step.place: step.text for step in set_up(given.stations[0], given.plan, None)}
        assert words in steps["panel"]


def test_a_full_battery_above_the_radios_limit_is_told_as_never() -> None:
    high = scenario(station={"battery": {**BATTERY, "chemistry": "Li-ion"}})
    meter = next(s for s in set_up(high.stations[0], high.plan, None) if s.place == "meter")
    assert "never above 15.9" in meter.text


@pytest.mark.parametrize(
    ("limit_w", "said_w"), [(6.31, 6.0), (6.0, 6.0), (1.99, 1.5), (0.44, 0.4), (10.0, 10.0)]
)
def test_a_limit_is_one_that_can_be_dialled_and_never_more(limit_w: float, said_w: float) -> None:
    assert dialled_w(limit_w) == said_w


def test_the_drive_is_power_over_gain() -> None:
    # 50 W through 10 dB: 5 W. A radio alone drives nothing.
    boosted = scenario(station={"radio": SMALL_RADIO, "amplifier": AMPLIFIER})
    assert drive_w(boosted.stations[0], boosted.plan) == 5.0
    last = set_up(boosted.stations[0], boosted.plan, None)[-1]
    assert "5\N{NO-BREAK SPACE}W at most" in last.text
    assert drive_w(scenario().stations[0], scenario().plan) is None


def test_remedies_follow_what_is_there() -> None:
    told = {each.what for each in remedies(scenario().stations[0], scenario().plan)}
    assert told == {"power up", "transmit", "charge"}
    quiet = scenario(station={"panel": None, "controller": None}, plan=(WATCH,))
    assert {each.what for each in remedies(quiet.stations[0], quiet.plan)} == {"power up"}
    assert "never bypass" in remedies(quiet.stations[0], quiet.plan)[0].words
    assert NET["activity"] == "voice"
