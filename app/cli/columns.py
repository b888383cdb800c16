"""The columns of a summary: what is told of each station, by the keys of its JSON."""

from __future__ import annotations

RUN = (
    "mass_kg", "rf_w", "lowest_fraction.value", "lowest_fraction.at", "end_fraction",
    "reserve_crossed.at", "clocks.full_power.until", "clocks.full_power.hours",
    "clocks.full_power.cause", "clocks.receive.until", "clocks.receive.hours",
    "clocks.receive.cause", "load_ah", "panel_wh.used", "guess_share",
)  # fmt: skip
SIZE = (
    "smallest_battery_ah", "smallest_battery_wh", "smallest_battery_kg", "battery_to_take_ah",
    "battery_to_take_kg", "smallest_panel_w", "panel_to_take_w", "smallest_panel_for_the_trip_w",
    "panel_for_the_trip_to_take_w", "why_no_battery", "why_no_panel",
)  # fmt: skip
ODDS = (
    "odds.receive", "odds.receive_low", "odds.receive_high", "odds.full_power",
    "odds.full_power_low", "odds.full_power_high", "odds.holds", "odds.holds_low",
    "odds.holds_high", "odds.reserve", "odds.reserve_low", "odds.reserve_high",
)  # fmt: skip
LESSON = ("title", "steps", "minutes", "faults")
