"""Scenarios that strain a page: nothing carried or too much, long names, no sun, many stations."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from model.files.scenario_file import read_scenario
from model.scenario.scenario import Block, Scenario
from model.scenario.station import Extra, Lead, Station

ROOT = Path(__file__).resolve().parents[2]
LONGEST = ("Wide words go on " * 8)[:119] + "!"
SLOTS = ("radio", "amplifier", "tuner", "antenna", "laptop", "battery", "controller", "panel")


def ridge() -> Scenario:
    """Return the scenario that ships with the program."""
    return read_scenario(ROOT / "scenarios" / "ridge-weekend.toml")


def strained(
    *,
    extras: int = 2,
    days: int = 1,
    long_names: bool = False,
    panel: bool = True,
    polar_night: bool = False,
    stations: int = 2,
    leads: int | None = None,
) -> Scenario:
    """Return the ridge scenario, strained; with no extras nothing but what is required."""
    base = ridge()
    kits = []
    for number in range(stations):
        kit = base.stations[number % 2]
        kit = kit.model_copy(update={"extras": _extras(extras, long_names=long_names)})
        if extras == 0:
            kit = _bare(kit)
        if not panel:
            kit = kit.model_copy(update={"panel": None, "controller": None})
        if leads is not None:
            kit = kit.model_copy(update={"leads": _leads(leads, long_names=long_names)})
        kits.append(_renamed(kit) if long_names else kit)
    day = base.day.model_copy(
        update={"days": days, "sky": (0.97,), "low_c": (3.0,), "high_c": (13.0,)}
    )
    site = base.site
    if polar_night:
        day = day.model_copy(
            update={"date": date(2027, 12, 20), "low_c": (-30.0,), "high_c": (-20.0,)}
        )
        site = site.model_copy(update={"latitude_deg": 78.0, "longitude_deg": 15.0})
    plan = _busy_plan() if long_names else base.plan
    title = (LONGEST * 2)[:200] if long_names else base.title
    return base.model_copy(
        update={"stations": tuple(kits), "day": day, "site": site, "plan": plan, "title": title}
    )


def _extras(count: int, *, long_names: bool) -> tuple[Extra, ...]:
    return tuple(
        Extra(
            name=f"{number} {LONGEST}"[:120] if long_names else f"thing {number}",
            mass_kg=0.125,
            power_w=0.5,
            group="Camp" if number % 2 else "Shelter",
        )
        for number in range(count)
    )


def _leads(count: int, *, long_names: bool) -> tuple[Lead, ...]:
    ends = ("radio", "battery", "panel", "amplifier")
    return tuple(
        Lead.model_validate(
            {
                "for": ends[number % 4], "one_way_m": 1.0, "size_mm2": 2.5, "mass_kg": 0.1,
                "name": LONGEST if long_names else f"lead {number}",
            }
        )
        for number in range(count)
    )  # fmt: skip


def _bare(kit: Station) -> Station:
    gone = dict.fromkeys(("amplifier", "tuner", "antenna", "laptop"))
    return kit.model_copy(update={**gone, "leads": ()})


def _renamed(kit: Station) -> Station:
    parts = {
        slot: getattr(kit, slot).model_copy(update={"name": LONGEST})
        for slot in SLOTS
        if getattr(kit, slot) is not None
    }
    return kit.model_copy(update={**parts, "name": LONGEST})


def _busy_plan() -> tuple[Block, ...]:
    """Return a day cut into half hours, each sending, each with the longest note."""
    return tuple(
        Block(
            start=f"{half // 2:02d}:{half % 2 * 30:02d}",
            end=f"{(half + 1) // 2:02d}:{(half + 1) % 2 * 30:02d}",
            activity="voice",
            rf_w=50.0,
            transmit_share=0.1,
            note=(LONGEST * 2)[:200],
        )
        for half in range(48)
    )
