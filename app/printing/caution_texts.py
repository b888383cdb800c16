"""The cautions that stand on every station's page, however little room there is."""

from __future__ import annotations

from app.printing.marks import Piece
from app.printing.say import Say
from app.printing.type import paragraph
from app.widgets.number_text import rounded_up, shown_unit
from model.export.kit_page import Kit
from model.scenario import cautions
from model.scenario.cautions import Caution
from model.scenario.station import Station
from model.station.rf_exposure import Exposure, exposures
from model.support.figures import entered, with_unit

# The caution in two parts: the front has room for the first.
WIRE_ENDS = cautions.EXPOSURE.brief.partition(". ")[0] + "."
EVALUATE = cautions.EXPOSURE.brief.partition(". ")[2]
NOBODY_NEAR = "keep everyone out of reach of the antenna, "


def cautions_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the cautions of this station that do not stand among the dangers on the front."""
    told = set(danger_texts(kit, say))
    return [paragraph(f"– {text}", width) for text in caution_texts(kit, say) if text not in told]


def brief_cautions_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the same in one run of words."""
    told = set(danger_texts(kit, say))
    texts = [text for text in caution_texts(kit, say) if text not in told]
    return [paragraph(" – ".join(texts), width)]


def danger_texts(kit: Kit, say: Say) -> list[str]:
    """Return what stands on the front: what kills, and what spoils the battery for good."""
    cells = [_of_cells(each, kit.station, say) for each in kit.station.battery.cell.cautions[:1]]
    rf = f"RF: {_distance(kit, say)}{WIRE_ENDS}"
    return [_briefly(cautions.POWER_LINES, cautions.STORM), rf, *cells, cautions.PREDICTION]


def caution_texts(kit: Kit, say: Say) -> list[str]:
    """Return the cautions, in order of what they prevent."""
    station = kit.station
    return [
        _briefly(cautions.POWER_LINES, cautions.STORM),
        *_battery(station, say),
        *_panel(station),
        *_radio(kit, say),
        _around(station),
    ]


def _briefly(*found: Caution) -> str:
    return " ".join(each.brief for each in found)


def _battery(station: Station, say: Say) -> list[str]:
    battery = station.battery
    highest = station.radio.supply_max_v
    limit = f" Never above {entered(highest, 'V')} at the radio." if highest else ""
    several = cautions.PARALLEL if battery.count > 1 else cautions.SWAP
    cells = [_of_cells(each, station, say) for each in battery.cell.cautions]
    fused = f"{_briefly(cautions.FUSE, several)}{limit}"
    return [*cells[:1], fused, *filter(None, [" ".join(cells[1:])])]


def _of_cells(caution: Caution, station: Station, say: Say) -> str:
    """Return a caution of the chemistry in the temperatures of this battery.

    Where frost harms the cells, the maker's limit counts only if it is above freezing.
    """
    battery = station.battery
    coldest_c = battery.lowest_charge_c
    if battery.cell.frost_harms:
        coldest_c = max(coldest_c, 0.0)
    return caution.brief.format(
        coldest=say.quantity(coldest_c, "°C"),
        warm=say.quantity(coldest_c + cautions.WARM_ENOUGH_K, "°C"),
        stop="cover, then unplug the panel" if station.panel else "do not charge it",
    )


def _panel(station: Station) -> list[str]:
    if station.panel is None:
        return []
    connected = cautions.PROFILE if station.controller else cautions.NO_CONTROLLER
    return [_briefly(connected, cautions.PANELS)]


def _radio(kit: Kit, say: Say) -> list[str]:
    limit_w = kit.scenario.site.licence_max_w
    limit = f" At most {entered(limit_w, 'W')} here." if limit_w else ""
    amplifier = f" {cautions.LOW_PASS.brief}" if kit.station.amplifier else ""
    return [
        f"RF: {_distance(kit, say)}{WIRE_ENDS}",
        f"{cautions.LICENCE.brief}{limit}{amplifier} Less power for full-duty modes. {EVALUATE}",
    ]


def _distance(kit: Kit, say: Say) -> str:
    """Return how far people stay off, over all blocks, with what it rests on."""
    found = exposures(kit.station, kit.scenario.plan)
    public, operator = (
        max(
            (each for each in found if each.group == group),
            key=lambda each: each.distance_m,
            default=None,
        )
        for group in ("public", "operator")
    )
    if public is None or operator is None:
        return NOBODY_NEAR
    if public.is_near_field and operator.is_near_field:
        near_m = max(public.near_field_m, operator.near_field_m)
        return f"{cautions.cannot_judge(_length(near_m, say))}; "
    return f"{_kept_off('public', public, say)}, {_kept_off('operators', operator, say)}; "


def _kept_off(who: str, found: Exposure, say: Say) -> str:
    if found.is_near_field:
        return f"{who}: {cautions.cannot_judge(_length(found.near_field_m, say))}"
    return f"{who} at least {_length(found.distance_m, say)}"


def _length(length_m: float, say: Say) -> str:
    shown = shown_unit("m", 1, us=say.us)
    return with_unit(rounded_up(shown.of(length_m), 1), shown.unit)


def _around(station: Station) -> str:
    """Return what concerns engines, mains and electrical work."""
    engine = f" {cautions.ENGINE.brief}" if station.chargers else ""
    return f"{_briefly(cautions.CARBON_MONOXIDE, cautions.INVERTER)}{engine} {cautions.ELECTRICAL}"


def comparison_texts() -> list[str]:
    """Return what stands on a page that no station is set up from."""
    return [
        _briefly(cautions.POWER_LINES, cautions.STORM),
        cautions.FUSE.brief,
        cautions.FROST.text,
        cautions.EXPOSURE.text,
        "Each station's own page has its wiring, connecting order and all cautions.",
        cautions.ELECTRICAL,
    ]
