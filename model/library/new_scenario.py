"""A scenario to begin with: a small radio with an amplifier against one 100 W box, this weekend."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, cast

from pydantic import ValidationError

from model.editing.edit_stations import with_part
from model.editing.power_match import with_power_matched
from model.library.catalogue import Library
from model.library.new_station import START_FRACTION, fused_lead, new_part
from model.scenario.climate import Climate
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Amplifier, Battery, Controller, Lead, Panel, Part, Radio, Station
from model.station.key_down_law import fit

SATURDAY = 5
# The small radio gives this much at least, the one box this much, and the net asks for that [W].
SMALL_W, BOX_W, NET_W = 10.0, 100.0, 50.0
BATTERY_AH, PANEL_W = 15.0, 80.0
TITLE = "New scenario"
NOTES = (
    "A kit, a plan and a sky to begin with. Every number of the parts is a guess until you measure"
    " your own. Enter your forecast: the temperatures are those of {}, the sky is mixed."
)
PLACE = Site(
    name="A hill (invented)",
    latitude_deg=46.9,
    longitude_deg=8.3,
    elevation_m=620.0,
    timezone="Europe/Zurich",
)
CLIMATE = Climate(
    source="invented, like the place",
    low_c=(-4.0, -4.0, -1.0, 2.0, 6.0, 10.0, 12.0, 12.0, 9.0, 5.0, 0.0, -3.0),
    high_c=(2.0, 4.0, 9.0, 13.0, 17.0, 21.0, 23.0, 23.0, 18.0, 13.0, 7.0, 3.0),
    clearness=(0.36, 0.42, 0.46, 0.47, 0.48, 0.5, 0.53, 0.51, 0.48, 0.42, 0.36, 0.33),
)
# What a place without a climate begins with [degC].
USUAL_LOW_C, USUAL_HIGH_C = 5.0, 15.0


@dataclass(frozen=True)
class Home:
    """A place to begin at, with its climate where it is known."""

    site: Site
    climate: Climate | None


def home_of(scenario: Scenario) -> Home:
    """Return the place of a scenario; its years of weather stay in the file."""
    climate = scenario.climate
    return Home(scenario.site, climate and climate.model_copy(update={"years": ()}))


def home_table(home: Home) -> dict[str, Any]:
    """Return a place as tables of TOML; what has its default is left out."""
    parts = {"site": home.site, "climate": home.climate}
    return {
        key: part.model_dump(exclude_defaults=True, by_alias=True)
        for key, part in parts.items()
        if part is not None
    }


def read_home(table: Mapping[str, Any]) -> Home | None:
    """Return the place that tables of TOML tell; None where they tell none."""
    try:
        site = Site.model_validate(table.get("site"), by_alias=True, by_name=False)
        told = table.get("climate")
        climate = told and Climate.model_validate(told, by_alias=True, by_name=False)
    except (ValidationError, RecursionError):
        return None
    return Home(site, climate or None)


def new_scenario(today: date, library: Library, home: Home | None = None) -> Scenario:
    """Return two stations of the library, an evening net, and the weekend that comes.

    Parameters
    ----------
    today : the weekend begins on the first Saturday after it.
    library : whose parts the stations carry; what it lacks is left at home.
    home : where they stand; None takes an invented place.
    """
    at = home or Home(PLACE, CLIMATE)
    begins = today + timedelta(days=(SATURDAY - today.weekday() - 1) % 7 + 1)
    low_c, high_c, words = USUAL_LOW_C, USUAL_HIGH_C, "no place in particular"
    if at.climate is not None:
        low_c, high_c = (
            round(months[begins.month - 1]) for months in (at.climate.low_c, at.climate.high_c)
        )
        words = f"a usual {begins:%B} day there"
    return with_power_matched(
        Scenario(
            title=TITLE,
            notes=NOTES.format(words),
            site=at.site,
            day=Day(
                date=begins, start_hour=8.0, days=2, sky=("mixed",), low_c=(low_c,),
                high_c=(high_c,), wind_m_s=2.0,
            ),
            climate=at.climate,
            plan=_plan(),
            stations=_stations(library),
        )
    )  # fmt: skip


def _plan() -> tuple[Block, ...]:
    watch = {"activity": "watch"}
    return (
        Block(start="07:00", end="20:00", note="listening watch", **watch),
        Block(
            start="20:00", end="21:00", activity="voice", rf_w=NET_W, transmit_share=0.15,
            frequency_mhz=3.65, note="evening net, checking in",
        ),
        Block(start="21:00", end="07:00", note="night watch", **watch),
    )  # fmt: skip


def _stations(library: Library) -> tuple[Station, Station]:
    radios = cast(tuple[Radio, ...], library.of("radio")) or (cast(Radio, new_part("radio")),)
    full = [radio for radio in radios if radio.highest_rf_w >= BOX_W]
    box = min(full, key=_receive_a) if full else max(radios, key=_highest_rf_w)
    small, amplifier = _driven(radios, cast(tuple[Amplifier, ...], library.of("amplifier")))
    return (
        _equipped("Low power", small, amplifier, library),
        _equipped("One box", box, None, library),
    )


def _receive_a(radio: Radio) -> float:
    return radio.receive_a


def _highest_rf_w(radio: Radio) -> float:
    return radio.highest_rf_w


def _driven(
    radios: tuple[Radio, ...], amplifiers: tuple[Amplifier, ...]
) -> tuple[Radio, Amplifier | None]:
    """Return the small radio with the least receive current, and the lightest amplifier it drives.

    Only pairs count that reach the power of the net.
    """
    small = [radio for radio in radios if SMALL_W <= radio.highest_rf_w < BOX_W]
    pairs = [
        (radio, amplifier)
        for radio in small
        for amplifier in amplifiers
        if min(amplifier.highest_rf_w, radio.highest_rf_w * _gain(amplifier)) >= NET_W
    ]
    if not pairs:
        return min(small or radios, key=_receive_a), None
    radio, amplifier = min(pairs, key=lambda pair: (pair[0].receive_a, pair[1].mass_kg))
    # A net is worked in operate: standby lets RF bypass the amplifier.
    return radio, amplifier.model_copy(update={"in_session": "operate"})


def _gain(amplifier: Amplifier) -> float:
    return float(10 ** (amplifier.gain_db / 10))


def _equipped(name: str, radio: Radio, amplifier: Amplifier | None, library: Library) -> Station:
    """Return a station with the parts that both have in common, and the leads of its own."""
    battery = _battery(cast(tuple[Battery, ...], library.of("battery")))
    station = Station(
        name=name,
        radio=radio,
        battery=battery,
        start_fraction=START_FRACTION,
        reserve_fraction=battery.cell.reserve_fraction,
    )
    sun = _sun(library)
    currents_a = {"radio": fit(radio.key_down).current_a(radio.highest_rf_w)}
    if amplifier is not None:
        currents_a["amplifier"] = fit(amplifier.key_down).current_a(amplifier.highest_rf_w)
    currents_a["battery"] = sum(currents_a.values())
    if sun:
        currents_a["panel"] = 0.0
    leads = cast(tuple[Lead, ...], library.of("lead"))
    parts: list[Part | None] = [amplifier, *library.of("antenna")[:1], *sun]
    parts += [fused_lead(feeds, current_a, leads) for feeds, current_a in currents_a.items()]
    for part in parts:
        if part is not None:
            station = with_part(station, part)
    return station


def _sun(library: Library) -> tuple[Part, ...]:
    """Return a controller and a panel; nothing where one is missing: they only work together."""
    controllers = cast(tuple[Controller, ...], library.of("controller"))
    panels = cast(tuple[Panel, ...], library.of("panel"))
    if not controllers or not panels:
        return ()
    controller = min(controllers, key=lambda each: (each.kind != "mppt", each.own_a))
    return controller, min(panels, key=lambda each: abs(each.rated_w - PANEL_W))


def _battery(batteries: tuple[Battery, ...]) -> Battery:
    """Return the lithium iron phosphate battery nearest the usual size; any where there is none."""
    of_kind = [each for each in batteries if each.chemistry == "LFP"] or list(batteries)
    made = cast(Battery, new_part("battery"))
    return min(of_kind, key=lambda each: abs(math.log(each.capacity_ah / BATTERY_AH)), default=made)
