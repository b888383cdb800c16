"""Rules about DC leads and their fuses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.findings.finding import Finding, Subject
from model.scenario.station import Lead, Station
from model.station.conductors import awg_mm2, lead_ohm
from model.station.fuses import BOATS, CONTINUOUS_SHARE, bears_a, fuse_fault
from model.support.figures import amount, entered, percent

SIZES_AGREE = 0.10
NOTABLE_JOINTS_V = 0.2


def _no_leads(subject: Subject) -> Iterator[Finding]:
    if not subject.station.leads and subject.planned is not None:
        yield Finding(
            "hint",
            "leads",
            "No leads are listed: no voltage drop between battery and radio is counted, and no"
            " fuse is checked.",
            "Add the leads with their length, size, joints and fuse.",
        )


def _size(subject: Subject) -> Iterator[Finding]:
    for index, lead in enumerate(subject.station.leads):
        if lead.size_mm2 is None and lead.awg is None:
            if lead.one_way_m > 0:
                yield Finding(
                    "error",
                    f"leads.{index}.size_mm2",
                    f"This lead of {entered(lead.one_way_m, 'm')} has no conductor size: its"
                    " resistance"
                    " cannot be worked out.",
                    "Enter mm² or the AWG number.",
                )
        elif lead.size_mm2 is not None and lead.awg is not None:
            given_mm2 = awg_mm2(lead.awg)
            if abs(lead.size_mm2 / given_mm2 - 1) > SIZES_AGREE:
                yield Finding(
                    "error",
                    f"leads.{index}.size_mm2",
                    f"{entered(lead.size_mm2, 'mm²')} and AWG {lead.awg}, which is"
                    f" {amount(given_mm2, 'mm²')}, do not agree.",
                    "Enter one of the two.",
                )


def _feeds_nothing(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    parts = {"amplifier": station.amplifier, "panel": station.panel}
    for index, lead in enumerate(station.leads):
        if lead.feeds in parts and parts[lead.feeds] is None:
            yield Finding(
                "hint",
                f"leads.{index}.for",
                f"This lead is for the {lead.feeds}, which this station does not have.",
                "Remove it, or add the part.",
            )


def _no_fuse(subject: Subject) -> Iterator[Finding]:
    leads = subject.station.leads
    if not leads or any(lead.feeds == "battery" and lead.fuse_a for lead in leads):
        return
    for feeds in ("radio", "amplifier"):
        mine = [(index, lead) for index, lead in enumerate(leads) if lead.feeds == feeds]
        if mine and not any(lead.fuse_a for _, lead in mine):
            yield Finding(
                "warning",
                f"leads.{mine[0][0]}.fuse_a",
                f"No fuse between battery and {feeds}: a short circuit burns the lead; a lithium"
                " pack drives hundreds of amperes into it.",
                "Put a fuse at the battery; with a vehicle's battery, one in each conductor.",
            )
    if all(lead.feeds in ("battery", "panel") for lead in leads):
        index = next((i for i, lead in enumerate(leads) if lead.feeds == "battery"), None)
        if index is not None:
            yield Finding(
                "warning",
                f"leads.{index}.fuse_a",
                "No fuse at the battery.",
                "Fit one there, never above what the conductor is rated for.",
            )


def _fuse_above_wire(subject: Subject) -> Iterator[Finding]:
    for index, lead in enumerate(subject.station.leads):
        bears = bears_a(lead)
        fault = fuse_fault(lead, bears) if bears is not None else ""
        if fault and bears is not None:
            yield Finding(
                "error",
                f"leads.{index}.fuse_a",
                f"{fault[0].upper()}{fault[1:]} ({BOATS.name}, {lead.insulation_c} °C insulation).",
                f"Fit {amount(bears, 'A')} or less, or a thicker lead.",
                withholds=False,
            )


@dataclass(frozen=True)
class LeadBelowFuse:
    """A lead whose conductor is rated for less than the fuse that protects it [A].

    ``is_own`` tells its own fuse from the one at the battery.
    """

    index: int
    fuse_a: float
    rated_a: float
    is_own: bool


def leads_below_fuse(station: Station) -> Iterator[LeadBelowFuse]:
    """Yield every lead that would burn before its fuse opens, in the order of the leads."""
    upstream = [lead.fuse_a for lead in station.leads if lead.feeds == "battery" and lead.fuse_a]
    for index, lead in enumerate(station.leads):
        rated_a = bears_a(lead)
        if rated_a is None:
            continue
        if lead.fuse_a is not None and lead.fuse_a > rated_a:
            yield LeadBelowFuse(index, lead.fuse_a, rated_a, is_own=True)
        is_fused = bool(lead.fuse_a) or lead.feeds not in ("radio", "amplifier")
        if upstream and not is_fused and 0 < rated_a < min(upstream):
            yield LeadBelowFuse(index, min(upstream), rated_a, is_own=False)


def _upstream_fuse(subject: Subject) -> Iterator[Finding]:
    for found in leads_below_fuse(subject.station):
        index, fuse_a, bears = found.index, found.fuse_a, found.rated_a
        if not found.is_own:
            yield Finding(
                "warning",
                f"leads.{index}.fuse_a",
                f"This lead has no fuse of its own; the {entered(fuse_a, 'A')} at the battery is"
                " above the"
                f" {amount(bears, 'A')} its conductor is rated for.",
                "Fuse it where it leaves the thicker lead.",
            )


def _current(subject: Subject) -> Iterator[Finding]:
    if subject.planned is None:
        return
    for index, lead in enumerate(subject.station.leads):
        carries = subject.carried_a[lead.feeds]
        bears = bears_a(lead)
        if lead.fuse_a is not None and lead.feeds != "panel":
            yield from _small_fuse(index, lead, carries)
        if bears is not None and carries > bears:
            yield Finding(
                "warning",
                f"leads.{index}.size_mm2",
                f"With the key down this lead carries {amount(carries, 'A')}; its conductor is"
                f" rated for {amount(bears, 'A')} continuously ({BOATS.name}).",
                "Use a thicker lead.",
            )


def _small_fuse(index: int, lead: Lead, carries: float) -> Iterator[Finding]:
    assert lead.fuse_a is not None
    if carries > lead.fuse_a:
        yield Finding(
            "warning",
            f"leads.{index}.fuse_a",
            f"With the key down this lead carries {amount(carries, 'A')} through a fuse of"
            f" {entered(lead.fuse_a, 'A')}: it will open.",
            "Fit the next larger fuse within the conductor's rating, or turn the power down.",
        )
    elif carries > lead.fuse_a * CONTINUOUS_SHARE:
        yield Finding(
            "hint",
            f"leads.{index}.fuse_a",
            f"With the key down this lead carries {amount(carries, 'A')},"
            f" {percent(carries / lead.fuse_a)} of its {entered(lead.fuse_a, 'A')} fuse;"
            " continuously a"
            " fuse carries 75 to 80 % of its rating.",
            "Enough for voice and Morse; not for full-duty modes.",
        )


def _joints(subject: Subject) -> Iterator[Finding]:
    if subject.planned is None:
        return
    for index, lead in enumerate(subject.station.leads):
        if lead.feeds == "panel" or not lead.joints_mohm:
            continue
        carries = subject.carried_a[lead.feeds]
        lost_v = carries * lead.joints_mohm / 1000
        if lost_v > NOTABLE_JOINTS_V and lead.joints_mohm / 1000 > lead_ohm(lead) / 2:
            yield Finding(
                "hint",
                f"leads.{index}.joints_mohm",
                f"The joints of this lead lose {amount(lost_v, 'V')} with the key down, more than"
                " its"
                " copper.",
                "A sound two-pole plug has under 1 mΩ; clamps and worn plugs have tens.",
            )


RULES = (
    _no_leads,
    _size,
    _feeds_nothing,
    _no_fuse,
    _fuse_above_wire,
    _upstream_fuse,
    _current,
    _joints,
)
