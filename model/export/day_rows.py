"""The day as it is worked: what is done from when on, and every setting that holds then.

The rows begin with the run and repeat each local day. A row says all its settings, so that it can
be followed without the one before.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from model.advice.actions import SHORT_WATCH_SHARE
from model.engine.run import StationRun
from model.export.set_up import Words, driving_w
from model.results.solar_yield import Aim
from model.results.wording import capital, choice_words
from model.scenario.declare import MINUTES_A_DAY, clock_of
from model.scenario.scenario import Block, Scenario
from model.scenario.station import Station
from model.station.loads import DATA_ACTIVITIES
from model.station.transmit_path import SendingWay, way_for
from model.support.figures import entered, number, percent, with_unit

# A note of these says no more than the row does.
TOLD_BY_A_WATCH = ("watch", "listen", "radio off")
COMPUTER, COMPUTER_FIRST = ", computer ", "Computer "
Kind = Literal["net", "listen", "off", "panel"]


@dataclass(frozen=True)
class DayRow:
    """What is done from a time of the day on.

    Attributes
    ----------
    at_min : minutes since midnight by the wall clock [min].
    kind : what the row is about.
    what : what is done, a note of the plan with it.
    settings : what is set for it; every second word is a state.
    """

    at_min: int
    kind: Kind
    what: str
    settings: Words

    @property
    def clock(self) -> str:
        """The time as ``20:30``."""
        return clock_of(self.at_min % MINUTES_A_DAY)


def day_rows(scenario: Scenario, index: int, aims: tuple[Aim, ...]) -> tuple[DayRow, ...]:
    """Return the rows of one local day, from the hour of the start on.

    Parameters
    ----------
    scenario : its plan and its start.
    index : which station, from 0.
    aims : when the panel is turned, and where to.
    """
    station = scenario.stations[index]
    rows = [_row(block, station) for block in scenario.plan]
    rows += _gaps(scenario.plan, station)
    rows += _aimed(aims, scenario.plan, station)
    start_min = round(scenario.day.start_hour * 60) % MINUTES_A_DAY
    order = {"panel": 0, "off": 1, "listen": 1, "net": 1}
    rows.sort(key=lambda row: ((row.at_min - start_min) % MINUTES_A_DAY, order[row.kind]))
    return tuple(_without_repetition(list(_begun(_joined(rows), start_min))))


def _without_repetition(rows: list[DayRow]) -> Iterator[DayRow]:
    """Yield rows without the state of the computer where it is the same as before."""
    before = ""
    for row in rows:
        settings = row.settings
        if COMPUTER in settings or COMPUTER_FIRST in settings:
            at = settings.index(COMPUTER if COMPUTER in settings else COMPUTER_FIRST)
            state = settings[at + 1]
            if state == before:
                settings = settings[:at] + settings[at + 2 :]
            before = state
        yield replace(row, settings=settings)


def _joined(rows: list[DayRow]) -> list[DayRow]:
    """Return rows with a turn of the panel told in what begins at the same time."""
    found: list[DayRow] = []
    for row in rows:
        last = found[-1] if found else None
        if last and last.kind == "panel" and last.at_min == row.at_min and row.kind != "net":
            turned = (*row.settings, f". {last.what}") if row.settings else (last.what,)
            found[-1] = replace(row, settings=turned)
            continue
        found.append(row)
    return found


def _begun(rows: list[DayRow], start_min: int) -> Iterator[DayRow]:
    """Yield the rows; what is going on at the start comes first as well."""
    going_on = [row for row in rows if row.kind != "panel"]
    if going_on and not any(row.at_min % MINUTES_A_DAY == start_min for row in going_on):
        last = going_on[-1]
        yield DayRow(start_min, last.kind, last.what, last.settings)
    yield from rows


def _row(block: Block, station: Station) -> DayRow:
    at_min = block.minutes[0]
    if block.activity == "off":
        return DayRow(at_min, "off", _noted("Radio off", block), _idle(station, block))
    way, rf_w = way_for(station, block.rf_w) if block.sends else (None, 0.0)
    if way is None or rf_w <= 0:
        return DayRow(at_min, "listen", _listens(block), _idle(station, block))
    share = f", TX {percent(block.transmit_share)}"
    band = f", {entered(block.frequency_mhz, 'MHz')}" if block.frequency_mhz else ""
    mode = choice_words(block.activity).partition(" (")[0]
    processed = ", speech processor on" if block.processed else ""
    note = " ".join(block.note.split())
    # A note that says the mode already is not told it again.
    mode = "" if mode.lower() in note.lower() else f" {mode}"
    what = f"{with_unit(number(rf_w), 'W')}{mode}{band}{share}{processed}{_between(block)}"
    return DayRow(
        at_min, "net", f"{capital(note)}: {what}" if note else capital(what),
        _net(station, block, way, rf_w),
    )  # fmt: skip


def _noted(words: str, block: Block) -> str:
    note = " ".join(block.note.split())
    is_told = any(word in note.lower() for word in TOLD_BY_A_WATCH)
    return f"{words}: {note}" if note and not is_told else words


def _listens(block: Block) -> str:
    """Return how a block is listened through, in minutes of each hour."""
    minutes = block.listen_share * 60
    if block.listen_share >= 1:
        return _noted("Listen", block)
    if minutes <= 0:
        return _noted("Radio off", block)
    first = "first " if block.listen_share <= SHORT_WATCH_SHARE * 6 else ""
    return _noted(f"Listen {first}{number(minutes, 2)} min of each hour, else radio off", block)


def _between(block: Block) -> str:
    if block.listen_share >= 1:
        return ""
    return f", listening {percent(block.listen_share)} of the rest"


def _net(station: Station, block: Block, way: SendingWay, rf_w: float) -> Words:
    amplifier = station.amplifier
    if way.amplified and amplifier is not None:
        drive = with_unit(number(driving_w(station, rf_w)), "W")
        operate = "operate" if amplifier.in_session == "operate" else "operate to transmit only"
        words: Words = ("Radio ", f"{drive} at most", ", tune, amplifier ", operate)
    elif amplifier is not None:
        power = with_unit(number(rf_w), "W")
        # Another order of these would overdrive an amplifier left on, or tune at full power.
        words = ("Amplifier ", amplifier.out_of_session, ", tune, radio ", power)
    else:
        words = ("Tune, radio ", with_unit(number(rf_w), "W"))
    return (*words, *_computer(station, block))


def _idle(station: Station, block: Block | None) -> Words:
    amplifier = station.amplifier
    words: Words = ("Amplifier ", amplifier.out_of_session) if amplifier is not None else ()
    computer = _computer(station, block)
    if not words and computer:
        return (COMPUTER_FIRST, *computer[1:])
    return (*words, *computer)


def _computer(station: Station, block: Block | None) -> Words:
    """Return the state of the computer; nothing while it is always or never on."""
    laptop = station.laptop
    if laptop is None or laptop.runs != "data":
        return ()
    if block is not None and block.activity in DATA_ACTIVITIES:
        return (COMPUTER, "on")
    return (COMPUTER, "asleep" if laptop.sleep_w > 0 else "off")


def _gaps(plan: tuple[Block, ...], station: Station) -> Iterator[DayRow]:
    """Yield that the radio is off from where a block ends on, if no other begins there."""
    begins = {block.minutes[0] % MINUTES_A_DAY for block in plan}
    for block in plan:
        end = block.minutes[1] % MINUTES_A_DAY
        if end not in begins:
            yield DayRow(end, "off", "Radio off", _idle(station, None))
    if not plan:
        yield DayRow(0, "off", "Radio off", _idle(station, None))


def _aimed(aims: tuple[Aim, ...], plan: tuple[Block, ...], station: Station) -> Iterator[DayRow]:
    """Yield when the panel is turned; not while somebody has to transmit, but after it."""
    panel = station.panel
    if panel is None or station.controller is None or panel.mount != "re-aimed":
        return
    for aim in aims:
        at_min = aim.at.hour * 60 + aim.at.minute
        for block in plan:
            begin, end = block.minutes
            if block.sends and (at_min - begin) % MINUTES_A_DAY < end - begin:
                at_min = end % MINUTES_A_DAY
        what = f"Panel {aim.azimuth_deg:03.0f}° true (____ compass), tilt {aim.tilt_deg:.0f}°"
        yield DayRow(at_min, "panel", what, ())


def first_facing(run: StationRun) -> str:
    """Return how a panel stands that is not turned; empty where it is, or where there is none."""
    panel = run.station.panel
    if panel is None or run.station.controller is None or panel.mount == "re-aimed":
        return ""
    if panel.mount == "flat":
        return "Panel flat on the ground, no shade on it"
    facing = f"{panel.azimuth_deg:03.0f}° true"
    return f"Panel to {facing}, compass ____, tilt {entered(panel.tilt_deg, '°')}"
