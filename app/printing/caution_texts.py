"""The cautions that stand on every station's page, however little room there is."""

from __future__ import annotations

from app.number_text import rounded_up, shown_unit
from app.printing.marks import STRONG, Piece
from app.printing.say import Say
from app.printing.type import paragraph
from model.export.kit_page import Kit
from model.scenario.station import Station
from model.station.rf_exposure import exposures


def cautions_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the cautions that concern this station; power lines and lightning come first."""
    first, *rest = caution_texts(kit, say)
    return [paragraph(first, width, STRONG), *(paragraph(f"– {text}", width) for text in rest)]


def caution_texts(kit: Kit, say: Say) -> list[str]:
    """Return the cautions, in order of what they prevent."""
    station = kit.station
    return [
        "Antenna, mast, line clear of power lines. Thunder: take down, disconnect, go in.",
        *_battery(station, say),
        *_panel(station),
        *_radio(kit, say),
        _around(station),
    ]


def _battery(station: Station, say: Say) -> list[str]:
    battery = station.battery
    coldest = say.quantity(battery.lowest_charge_c, "°C")
    highest = station.radio.supply_max_v
    limit = f" Never above {highest:g} V at the radio." if highest else ""
    fuse = (
        "Fuse at the battery, never above what the lead bears; vehicle: both legs. A shorted pack"
        f" burns.{limit}"
    )
    return [fuse, battery.cell.page_caution.format(coldest=coldest)]


def _panel(station: Station) -> list[str]:
    if station.panel is None:
        return []
    return ["Stake the panel; cover it to unplug: in series it shocks and arcs."]


def _radio(kit: Kit, say: Say) -> list[str]:
    limit_w = kit.scenario.site.licence_max_w
    limit = f"; here at most {limit_w:g} W" if limit_w else ""
    amplifier = " Low-pass filter after the amplifier." if kit.station.amplifier else ""
    return [
        f"RF: {_distance(kit, say)}never in reach of wire ends; evaluate exposure by local rules.",
        f"Licence: power, band, identification, holder{limit}.{amplifier} Less power in full-duty"
        " modes.",
    ]


def _distance(kit: Kit, say: Say) -> str:
    """Return how far people must stay off, over all blocks, with what it rests on."""
    found = exposures(kit.station, kit.scenario.plan)
    far = {
        group: max(each.distance_m for each in found if each.group == group)
        for group in ("public", "operator")
        if any(each.group == group for each in found)
    }
    if len(far) < 2:
        return "nobody near, "
    near = " (edge of the near field)" if any(each.is_near_field for each in found) else ""
    shown = shown_unit("m", 1, us=say.us)
    public, operator = (
        f"{rounded_up(shown.of(far[group]), 1)} {shown.unit}" for group in ("public", "operator")
    )
    return f"at least {public} public, {operator} operators{near}, indicative; "


def _around(station: Station) -> str:
    engine = " A running engine raises the volts." if station.chargers else ""
    return (
        f"Engines, stoves: carbon monoxide. Inverter output is mains.{engine} Electrical work:"
        " local codes and qualified persons decide."
    )


def comparison_texts() -> list[str]:
    """Return what stands on a page that no station is set up from."""
    return [
        "Antennas clear of power lines; take down for lightning.",
        "Fuse at the battery. No lithium charging below 0 °C (32 °F).",
        "Nobody within reach of an antenna that sends.",
        "Each station's own page holds its wiring, connecting order and all cautions.",
        "Electrical work: local codes and qualified persons decide.",
    ]
