"""The cautions that stand on every station's page, however little room there is."""

from __future__ import annotations

from app.page.marks import MM, STRONG, Piece, stacked
from app.page.say import Say
from app.page.type import paragraph
from model.kit import Kit
from model.parts import Station


def cautions_body(kit: Kit, say: Say, width: float) -> Piece:
    """Return the cautions that concern this station; power lines and lightning come first."""
    first, *rest = caution_texts(kit, say)
    return stacked(
        paragraph(first, width, STRONG),
        *(paragraph(f"– {text}", width) for text in rest),
        gap=0.35 * MM,
    )


def caution_texts(kit: Kit, say: Say) -> list[str]:
    """Return the cautions, in order of what they prevent."""
    station = kit.station
    return [
        "Keep antenna, mast and feed line well clear of power lines. Thunder near: take down,"
        " disconnect, go inside.",
        *_battery(station, say),
        *_panel(station),
        *_radio(kit),
        *_around(station),
        "Electrical work follows local codes; what you are not sure of, leave to a qualified"
        " person.",
    ]


def _battery(station: Station, say: Say) -> list[str]:
    battery = station.battery
    vehicle = "; from a vehicle battery fuse both legs"
    texts = [
        f"Fuse at the battery, never above what the lead bears{vehicle}. A shorted pack can burn."
    ]
    coldest = say.quantity(battery.lowest_charge_c, "°C")
    if battery.is_lead:
        texts.append("Lead batteries give off hydrogen on charge: air, and no sparks.")
    else:
        texts.append(
            f"No charging while the cells are below {coldest} or the maker's limit. Never by-pass a"
            " tripped protection. No heat packs on bare cells; do not leave a warmed pack on"
            " charge. Keep it out of hot vehicles; air travel limits Wh."
        )
    highest = station.radio.supply_max_v
    limit = f" Never above {highest:g} V at the radio." if highest else ""
    texts.append(f"Check polarity with a meter before each connection.{limit}")
    return texts


def _panel(station: Station) -> list[str]:
    if station.panel is None:
        return []
    series = (
        " Panels in series shock and arc: cover them before unplugging."
        if station.panel.wiring == "series" and station.panel.count > 1
        else " A panel in light is live: cover it before unplugging. Panels in series shock and arc."
    )
    return [f"Stake or weigh the panel down.{series}"]


def _radio(kit: Kit) -> list[str]:
    limit_w = kit.scenario.site.licence_max_w
    limit = f" Here at most {limit_w:g} W." if limit_w else ""
    amplifier = (
        " The amplifier needs its low-pass filter for the band." if kit.station.amplifier else ""
    )
    return [
        "RF: nobody within reach of the antenna while sending, wire ends least of all; make the"
        " exposure evaluation that local rules require.",
        f"Licence: power, band, identification, holder.{limit}{amplifier} Cut power on full-duty"
        " modes.",
    ]


def _around(station: Station) -> list[str]:
    if station.chargers:
        return [
            "Engines and stoves make carbon monoxide: outdoors only. A running engine raises the"
            " volts. Inverter output is mains and can kill."
        ]
    return ["Engines and stoves make carbon monoxide: outdoors only. Inverter output can kill."]
