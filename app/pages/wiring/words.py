"""Links and fixes in the units shown."""

from __future__ import annotations

from app.state.display import Display
from app.widgets.number_text import awg_of, fixed, quantity
from model.results.voltage_drop import Chain, Link
from model.scenario.station import Lead, Station
from model.station.conductors import conductor_mm2
from model.support.figures import amount, percent


def lead_name(lead: Lead) -> str:
    """Return what a lead is called."""
    return " ".join(lead.name.split()) or f"lead to the {lead.feeds}"


def size_words(lead: Lead, display: Display) -> str:
    """Return length and conductor, such as "2 m of 4 mm²" or "6.6 ft of AWG 12"."""
    length = display.entered(lead.one_way_m, "m", 2)
    size_mm2 = conductor_mm2(lead)
    if size_mm2 is None:
        return length
    if display.is_us or lead.size_mm2 is None:
        awg = lead.awg if lead.awg is not None else round(awg_of(size_mm2))
        return f"{length} of AWG {awg}"
    return f"{length} of {quantity(size_mm2, 'mm²', 2)}"


def link_words(link: Link, station: Station, display: Display) -> str:
    """Return what a link of the chain is."""
    if link.lead_index is None or link.kind == "cells":
        return link.words
    lead = station.leads[link.lead_index]
    if link.kind == "joints":
        return "joints and fuse" if lead.fuse_a else "joints"
    return f"{lead_name(lead)}: {size_words(lead, display)}"


def weakest_words(chain: Chain, station: Station, display: Display) -> str:
    """Return which link loses most, and how much of all that is lost on its way."""
    link = chain.weakest
    if link is None:
        return "No voltage is lost on the way."
    words = link_words(link, station, display)
    if link.kind == "joints" and link.lead_index is not None:
        words = f"{words} of {lead_name(station.leads[link.lead_index])}"
    return f"Weakest link: {words}; it loses {fixed(link.lost_v, 2, 'V')} with the key down."


def power_words(chain: Chain) -> tuple[str, str]:
    """Return what holds at this moment, and at what charge full power ends without sun."""
    rf_power = quantity(chain.rf_w, "W", 1)
    if chain.rf_w <= 0:
        return "This station cannot transmit.", ""
    if not chain.is_planned:
        now = f"No transmission is planned. The {rf_power} this station can give:"
        now += " possible now." if chain.holds else f" {_holding(chain)}"
    else:
        now = f"{rf_power} is possible now." if chain.holds else _holding(chain)
    end = chain.full_power_end
    if end.fraction >= 1.0:
        return now, "Without sun full power is not possible even on a full battery."
    if end.fraction <= 0.0:
        return now, "Without sun full power lasts until the battery is empty."
    return now, (
        f"Without sun full power ends at {percent(end.fraction)} charge,"
        f" {fixed(end.rest_v, 2, 'V')} at rest."
    )


def _holding(chain: Chain) -> str:
    if chain.holding_w <= 0:
        return f"{quantity(chain.rf_w, 'W', 1)} is not possible now, nor is any lower power."
    return f"{quantity(chain.rf_w, 'W', 1)} is not possible now; {amount(chain.holding_w, 'W')} is."
