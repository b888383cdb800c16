"""Which of two remedies stands first: what it gains, whether it acts on the cause, its price."""

from __future__ import annotations

from model.advice.actions import Action
from model.engine.outcome import Clock
from model.scenario.scenario import Scenario
from model.station.carried_mass import carried_total, shared_extras

# From the least given up to the most: seconds, a place, a hand, calls, signal, then what has to be
# carried, which is compared by its mass. Common practice, no source.
PRICES = (
    ("amplifier_off", "amplifier_standby", "computer_in_data"),
    ("battery_warm", "extras_off"),
    ("re_aim",),
    ("short_watch",),
    ("computer_off",),
    ("tenth_power", "without_amplifier"),
    ("thicker_leads",),
    ("second_battery", "second_panel"),
)
_ACTS_ON_USE = {
    "amplifier_idle": ("amplifier_off", "amplifier_standby", "without_amplifier"),
    "receive": ("short_watch",),
    "laptop": ("computer_in_data", "computer_off"),
    "transmit": ("tenth_power", "without_amplifier"),
}
_ACTS_ON_CAUSE = {"sag": ("thicker_leads",), "board": ("tenth_power", "without_amplifier")}


def acts_on(action: Action, clock: Clock) -> bool:
    """Return whether an action takes away what ended a clock.

    Frost where frost is the reason; the limit that was reached where volts or the protection are
    the cause; else the use that took most since the battery was last full.
    """
    if clock.because == "frost":
        return action.key == "battery_warm"
    if clock.cause in _ACTS_ON_CAUSE:
        return action.key in _ACTS_ON_CAUSE[clock.cause]
    use = clock.drain
    return use is not None and action.key in (*_ACTS_ON_USE.get(use, ()), f"{use}_off")


def price(scenario: Scenario, index: int, action: Action) -> tuple[int, float]:
    """Return a price that sorts: what is given up, then what is carried besides [kg]."""
    place = next(
        (at for at, keys in enumerate(PRICES) if action.key in keys),
        # Other loads that are switched off stand with the extras.
        1,
    )
    return place, _mass_kg(action.changed, index) - _mass_kg(scenario, index)


def _mass_kg(scenario: Scenario, index: int) -> float:
    return carried_total(scenario.stations[index], shared_extras(scenario, index)).mass_kg
