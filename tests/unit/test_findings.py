"""Every rule is shown a design it must speak of, and a sound design of which none may speak."""

from __future__ import annotations

import pytest

from model.editing.paths import field_at, value_at
from model.engine.comparison import simulate
from model.findings.rules import find, find_errors, find_without_variants
from model.scenario.scenario import Scenario
from tests.plain import plain
from tests.unit.scenario_maker import (
    AMPLIFIER,
    BATTERY,
    BATTERY_LEAD,
    NET,
    PANEL,
    RADIO,
    RADIO_LEAD,
    SMALL_RADIO,
    WATCH,
    changed,
    scenario,
)  # fmt: skip


def with_station(**parts: object) -> Scenario:
    return scenario(station=parts)


def with_net(**members: object) -> Scenario:
    return scenario(plan=(WATCH, NET | members))


SERIES = PANEL | {"count": 3, "wiring": "series"}
BOOSTED = {"radio": SMALL_RADIO, "amplifier": AMPLIFIER}
CASES = [
    # plan
    (with_net(activity="slots", transmit_share=0.43), "error", "plan.1.transmit_share", "0.4213"),
    (with_net(activity="watch"), "warning", "plan.1.transmit_share", "nothing is transmitted"),
    (with_net(rf_w=0.0), "warning", "plan.1.rf_w", "20 %"),
    (with_net(transmit_share=0.0), "hint", "plan.1.transmit_share", "50 W"),
    (scenario(site={"licence_max_w": 10.0}), "warning", "plan.1.rf_w", "10 W"),
    (with_net(frequency_mhz=None), "hint", "plan.1.frequency_mhz", "safe distance"),
    (with_net(activity="fm", processed=True), "hint", "plan.1.processed", "not voice"),
    (scenario(plan=()), "hint", "plan", "empty"),
    (scenario(day={"low_c": 25.0}), "warning", "day.low_c", "25 °C"),
    (scenario(site={"timezone": "Asia/Tokyo"}), "warning", "site.timezone", "ahead of the sun"),
    (scenario(site={"timezone": "America/Denver"}), "warning", "site.timezone", "behind the sun"),
    # what radio and amplifier give
    (with_station(radio=RADIO | {"key_down": (), "rf_max_w": 50.0}), "error", "radio.key_down", ""),
    (with_station(radio=RADIO | {"key_down": ()}), "warning", "radio.key_down", "only receives"),
    (with_net(rf_w=200.0), "hint", "radio.rf_max_w", "3 dB less (0.5 S-units)"),
    (with_net(rf_w=1.0), "warning", "radio.key_down", "5 to 100 W"),
    (changed(with_net(rf_w=1.0), radio__rf_min_w=2.0), "warning", "radio.rf_min_w", "below 2 W"),
    (
        with_station(radio=SMALL_RADIO | {"rf_max_w": 10.0}, amplifier=AMPLIFIER),
        "hint", "amplifier.gain_db", "5 W drives",
    ),
    (
        scenario(
            station={**BOOSTED, "radio": SMALL_RADIO | {"rf_min_w": 3.0}},
            plan=(WATCH, NET | {"rf_w": 20.0}),
        ),
        "warning", "radio.rf_min_w", "2 W of drive",
    ),
    (
        with_station(radio=RADIO | {"key_down": ((5.0, 6.3), (50.0, 9.0), (100.0, 19.5))}),
        "warning", "radio.key_down", "50 W where 9 A",
    ),
    (
        with_station(radio=RADIO | {"key_down": ((5.0, 6.3), (50.0, 6.0))}),
        "warning", "radio.key_down", "no more current",
    ),
    (
        changed(with_net(rf_w=120.0), radio__rf_max_w=120.0),
        "hint", "radio.key_down", "At 120 W",
    ),
    (changed(scenario(), radio__rf_min_w=150.0), "error", "radio.rf_min_w", "150 W"),
    (
        with_station(radio=SMALL_RADIO, amplifier=AMPLIFIER | {"gain_db": 6.0}),
        "hint", "amplifier.gain_db", "19.9 W of its 50 W",
    ),
    (with_station(radio=RADIO, amplifier=AMPLIFIER), "hint", "amplifier", "never used"),
    (
        with_station(radio=SMALL_RADIO, amplifier=AMPLIFIER | {"out_of_session": "operate"}),
        "warning", "amplifier.out_of_session", "4.2 Ah a day",
    ),
    # volts and amperes
    (changed(scenario(), radio__supply_min_v=None), "hint", "radio.supply_min_v", "No minimum"),
    (
        with_station(radio=SMALL_RADIO, amplifier=AMPLIFIER | {"supply_min_v": None}),
        "hint", "amplifier.supply_min_v", "No minimum voltage",
    ),
    (changed(scenario(), radio__supply_max_v=11.0), "error", "radio.supply_min_v", "11.7 V"),
    (
        with_station(radio={"receive_a": 0.1, "receive_min_v": 14.0, "supply_max_v": 13.9}),
        "error", "radio.receive_min_v", "14 V",
    ),
    (changed(scenario(), radio__receive_min_v=12.0), "warning", "radio.receive_min_v", "above the"),
    (changed(scenario(), battery__chemistry="Li-ion"), "warning", "battery.cells", "16.7 V"),
    (changed(scenario(), radio__supply_max_v=14.39), "warning", "battery.cells", "14.4 V"),
    (
        changed(scenario(), battery__chemistry="Li-ion", battery__cells=3),
        "warning", "radio.supply_min_v", "11.2 V",
    ),
    (
        changed(scenario(), battery__cells=3), "warning", "radio.supply_min_v", "even when full",
    ),
    (
        changed(scenario(), battery__discharge_limit_a=10.0),
        "warning", "battery.discharge_limit_a", "14.",
    ),
    (
        changed(scenario(), battery__discharge_limit_a=15.0),
        "hint", "battery.discharge_limit_a", "15 A",
    ),
    (changed(scenario(), battery__cutoff_v=13.5), "warning", "battery.cutoff_v", "13.4 V"),
    (changed(scenario(), battery__reconnect_v=9.0), "warning", "battery.reconnect_v", "9 V"),
    (changed(scenario(), battery__reconnect_v=14.5), "warning", "battery.reconnect_v", "never"),
    (changed(scenario(), battery__chemistry="AGM"), "hint", "battery.cutoff_v", "10.5 V"),
    # leads
    (with_station(leads=()), "hint", "leads", "no fuse is checked"),
    (
        with_station(leads=(BATTERY_LEAD, {"for": "radio", "one_way_m": 2.0})),
        "error", "leads.1.size_mm2", "2 m",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"size_mm2": 2.5})),
        "error", "leads.1.size_mm2", "5.26 mm²",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"for": "amplifier"})),
        "hint", "leads.1.for", "amplifier",
    ),
    (with_station(leads=(RADIO_LEAD,)), "warning", "leads.0.fuse_a", "No fuse"),
    (
        with_station(leads=(BATTERY_LEAD | {"fuse_a": None},)), "warning", "leads.0.fuse_a",
        "No fuse",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"awg": 18, "fuse_a": 30.0})),
        "error", "leads.1.fuse_a", "10 A",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"awg": 14})),
        "warning", "leads.1.fuse_a", "20 A",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"fuse_a": 10.0})),
        "warning", "leads.1.fuse_a", "will open",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"fuse_a": 15.0})),
        "hint", "leads.1.fuse_a", "75 to 80 %",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"awg": 18})),
        "warning", "leads.1.size_mm2", "rated for 10 A",
    ),
    (
        with_station(leads=(BATTERY_LEAD, RADIO_LEAD | {"joints_mohm": 83.0})),
        "hint", "leads.1.joints_mohm", "1.2",
    ),
    # charging
    (with_station(controller=None), "warning", "controller", "without a charge controller"),
    (with_station(panel=None), "hint", "controller", "0.36 Ah a day"),
    (
        with_station(panel=PANEL | {"vmp_v": 36.0, "voc_v": 44.0}, controller={"kind": "pwm"}),
        "hint", "controller.kind", "36 V",
    ),
    (
        with_station(panel=PANEL | {"vmp_v": 9.0, "voc_v": 11.0}), "warning", "panel.voc_v",
        "cannot charge",
    ),
    (
        with_station(panel=PANEL | {"vmp_v": 13.5, "voc_v": 17.0}), "hint", "panel.vmp_v", "14.4 V",
    ),
    (with_station(panel=PANEL | {"vmp_v": 23.0}), "error", "panel.vmp_v", "22 V"),
    (with_station(panel=SERIES), "warning", "controller.input_limit_v", "68.6 V"),
    (with_station(panel=SERIES), "hint", "panel.wiring", "arc"),
    (
        changed(scenario(), controller__output_limit_a=2.0), "hint", "controller.output_limit_a",
        "51 W",
    ),
    (
        with_station(chargers=({"current_a": 25.0},)), "warning", "chargers.0.current_a", "10 A",
    ),
    (changed(scenario(), panel__rated_w=200.0), "warning", "battery.charge_limit_a", "12.9 A"),
    (changed(scenario(), battery__charge_min_c=-10.0), "warning", "battery.charge_min_c", "0 °C"),
    (
        with_station(battery=BATTERY | {"chemistry": "AGM", "cutoff_v": 11.0}), "hint",
        "battery.charge_efficiency", "0.85",
    ),
    (changed(scenario(), panel__other_losses=0.0), "hint", "panel.other_losses", "60 W"),
    (changed(scenario(), panel__mount="flat"), "hint", "panel.tilt_deg", "30°"),
    (changed(scenario(), panel__azimuth_deg=0.0), "hint", "panel.azimuth_deg", "180°"),
    # sky
    (scenario(day={"low_c": -12.0, "high_c": -4.0}), "hint", "battery.kept", "h of sun"),
    (
        scenario(site={"horizon": ((90.0, 5.0), (180.0, 80.0), (270.0, 5.0))}), "hint", "panel",
        "noon",
    ),
    (
        scenario(site={"latitude_deg": -75.0}), "hint", "panel", "does not rise",
    ),
    # reserve, start, extras, chargers, computer
    (with_station(reserve_fraction=0.0), "hint", "reserve_fraction", "No reserve"),
    (with_station(reserve_fraction=0.6), "hint", "reserve_fraction", "60 %"),
    (
        with_station(
            reserve_fraction=0.5,
            battery=BATTERY | {"chemistry": "AGM", "cutoff_v": 11.0, "tested_fraction": 0.5},
        ),
        "hint", "battery.tested_fraction", "5 of 20 Ah",
    ),
    (with_station(start_fraction=0.1), "warning", "start_fraction", "10 %"),
    (
        with_station(extras=({"power_w": 5.0, "current_a": 0.5},)), "warning",
        "extras.0.current_a", "0.5 A",
    ),
    (with_station(extras=({"name": "nothing"},)), "hint", "extras.0", "changes nothing"),
    (with_station(extras=({"power_w": 5.0, "hours": ()},)), "hint", "extras.0.hours", "never"),
    (with_station(chargers=({"current_a": 5.0, "hours": ()},)), "hint", "chargers.0.hours", ""),
    (with_net(activity="arq"), "hint", "laptop", "data blocks"),
    (with_station(laptop={"power_w": 10.0, "runs": "data"}), "hint", "laptop.runs", "sleeps"),
    (
        with_station(
            laptop={"power_w": 10.0, "charge_w": 20.0, "own_battery_wh": 50.0}, panel=None,
        ),
        "hint", "laptop.charge_w", "no panel",
    ),
    (
        with_station(laptop={"power_w": 10.0, "charge_w": 20.0}), "hint", "laptop.charge_w",
        "no battery",
    ),
]  # fmt: skip


def whole_path(path: str) -> str:
    return path if path.split(".")[0] in ("plan", "day", "site") else f"stations.0.{path}"


def test_a_sound_design_is_left_alone() -> None:
    assert find(scenario()) == ()


@pytest.mark.parametrize(
    ("given", "level", "path", "words"), CASES, ids=[f"{c[1]} {c[2]} {c[3]}" for c in CASES]
)
def test_a_rule_speaks_at_its_field(given: Scenario, level: str, path: str, words: str) -> None:
    at = whole_path(path)
    found = [f for f in find(given) if f.path == at and f.level == level]
    assert any(words in plain(f.sentence) for f in found), find(given)


@pytest.mark.parametrize("given", [case[0] for case in CASES])
def test_every_finding_stands_at_a_field_and_ends_its_sentences(given: Scenario) -> None:
    for finding in find(given):
        assert field_at(finding.path)
        assert finding.sentence.endswith(".")
        assert finding.remedy == "" or finding.remedy.endswith(".")


@pytest.mark.parametrize("given", [case[0] for case in CASES])
def test_the_errors_are_all_the_errors_among_the_findings(given: Scenario) -> None:
    errors = tuple(f for f in find_without_variants(given) if f.level == "error")
    assert find_errors(given) == errors


def test_errors_come_first() -> None:
    spoilt = {"leads": (), "panel": PANEL | {"vmp_v": 30.0}}
    given = scenario(station=spoilt, plan=(WATCH, NET | {"rf_w": 300.0}))
    levels = [f.level for f in find(given)]
    assert levels == sorted(levels, key=["error", "warning", "hint"].index)
    assert levels[0] == "error"


def test_an_error_of_a_station_withholds_only_its_run() -> None:
    sound = scenario().stations[0]
    spoilt = changed(scenario(), panel__vmp_v=23.0).stations[0]
    both = scenario().model_copy(update={"stations": (spoilt, sound)})
    runs = simulate(both).runs
    assert runs[0] is None
    assert runs[1] is not None


def test_an_error_of_the_plan_withholds_every_run() -> None:
    assert simulate(with_net(activity="slots", transmit_share=0.43)).runs == (None,)


def test_the_highest_share_of_a_slotted_mode_is_allowed() -> None:
    found = find(with_net(activity="slots", transmit_share=0.4213))
    assert not [f for f in found if f.level == "error"]


def test_a_rounded_size_beside_its_awg_number_agrees() -> None:
    leads = (BATTERY_LEAD, RADIO_LEAD | {"size_mm2": 5.3})
    assert find(with_station(leads=leads)) == ()


def test_the_findings_of_a_second_station_carry_its_number() -> None:
    sound = scenario().stations[0]
    spoilt = changed(scenario(), panel__other_losses=0.0).stations[0]
    both = scenario().model_copy(update={"stations": (sound, spoilt)})
    assert [f.path for f in find(both)] == ["stations.1.panel.other_losses"]
    assert value_at(both, "stations.1.panel.other_losses") == 0.0
