"""What a station draws in every step, as far as it does not depend on the battery's charge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from math import sqrt

import numpy as np

from model.scenario.kinds import KINDS
from model.scenario.scenario import Block, Site
from model.scenario.station import Battery, Extra, Laptop, Radio, Station
from model.sky.trip import Dates, Stretch, dates_of
from model.station.chemistry import Floats
from model.station.emission import Emission, emission, mean_a, mean_square_a2
from model.station.part_loads import (
    LOADS,
    SOURCES,
    Drawn,
    drawn_by_use,
    hour_of,
    offered_a,
    stored_offer_a,
)
from model.station.plan_steps import Agenda, agenda
from model.station.transmit_path import SendingWay, idle_amplifier_a, way_for
from model.support.cache import kept_within

DATA_ACTIVITIES = ("slots", "arq")
_ANY_BATTERY = Battery(chemistry="LFP", capacity_ah=1.0)


@dataclass(frozen=True)
class BlockSending:
    """How a station sends in one block.

    Attributes
    ----------
    way : None where it sends nothing.
    rf_w : what it gives of the power asked for [W].
    emission : both factors of the emission.
    """

    way: SendingWay | None
    rf_w: float
    emission: Emission


@dataclass(frozen=True, eq=False)
class StationLoads:
    """Loads of one station in each step; arrays are of shape (steps,) and step means.

    Attributes
    ----------
    radio_rest_a, amplifier_rest_a : without the sending [A].
    radio_send_a, amplifier_send_a : added by sending at the planned power [A].
    amplifier_out_a : what the amplifier draws where it is not needed after all [A].
    radio_square_a2, amplifier_square_a2, both_square_a2 : mean squares at planned power [A²].
    receive_a, off_a : parts of radio_rest_a by use [A].
    send_share : share of the step with the transmitter on [1].
    send_row : plan block that sends in the step, -1 where none.
    drawn : what all but radio and amplifier draw, by use; the laptop's converter idle only.
    other_a, other_w : their sums, constant current and constant power [A], [W].
    laptop_w : what the laptop itself takes [W].
    charger_a : what the chargers offer [A].
    store_a : what a source with a store offers while it lasts, (0,) where there is none [A].
    sendings : how each block sends, one for each plan block.
    listening_a : receive current of the radio [A].
    """

    radio_rest_a: Floats
    radio_send_a: Floats
    amplifier_rest_a: Floats
    amplifier_send_a: Floats
    amplifier_out_a: Floats
    radio_square_a2: Floats
    amplifier_square_a2: Floats
    both_square_a2: Floats
    receive_a: Floats
    off_a: Floats
    send_share: Floats
    send_row: np.ndarray
    drawn: Mapping[str, Drawn]
    other_a: Floats
    other_w: Floats
    laptop_w: Floats
    charger_a: Floats
    store_a: Floats
    sendings: tuple[BlockSending, ...]
    listening_a: float


def station_loads(
    site: Site,
    trip: Stretch,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...] = (),
    step_min: float = 1.0,
) -> StationLoads:
    """Return the loads of a station in each step.

    Panel and leads do not enter, and of the battery no more than what it draws itself, so that
    changing them reuses the result.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    plan : what is worked, repeated each local day.
    station : whose loads.
    shared : extras of others that all carry.
    step_min : length of a step [min].

    Returns
    -------
    Currents [A], mean squares [A²] and powers [W], shape (steps,) each.
    """
    # Fields the loads do not depend on take one value, so that the cache does not see them.
    held = {
        kind.slot: getattr(station, kind.slot)
        if kind.uses or kind.key in LOADS or kind.key in SOURCES
        else kind.none
        for kind in KINDS
    }
    held |= {"battery": _drawing_alike(station.battery), "extras": station.extras + shared}
    bare = Station.model_construct(name="", reserve_fraction=0.0, start_fraction=1.0, **held)
    return _loads(site, dates_of(trip), plan, bare, step_min)


def _drawing_alike(battery: Battery) -> Battery:
    """Return a battery that draws the same and is otherwise like any."""
    if not battery.own_a:
        return _ANY_BATTERY
    return _ANY_BATTERY.model_copy(update={"own_a": battery.own_a, "count": battery.count})


# Three stations over two weeks, or twenty trials over two days.
@kept_within(8_000_000)
def _loads(
    site: Site, dates: Dates, plan: tuple[Block, ...], station: Station, step_min: float
) -> StationLoads:
    laid = agenda(site, dates, plan, step_min)
    sendings = tuple(_block_sending(station, block) for block in plan)
    rows = [_block_currents(station, block, how) for block, how in zip(plan, sendings, strict=True)]
    rows.append(_idle_row(station.radio))
    table = {name: np.array([getattr(row, name) for row in rows]) for name in _ROW_NAMES}
    steps = {name: laid.coverage.mean(column) for name, column in table.items()}
    data = np.array([block.activity in DATA_ACTIVITIES for block in plan] + [False], dtype=float)
    sends = tuple(at for at, row in laid.starts if sendings[row].way is not None)
    hour = hour_of(site, dates, step_min, sends)
    drawn = drawn_by_use(station, hour, laid.coverage.steps)
    other_a, other_w = np.zeros(laid.coverage.steps), np.zeros(laid.coverage.steps)
    for each in drawn.values():
        other_a, other_w = other_a + each.current_a, other_w + each.power_w
    loads = StationLoads(
        **steps,
        send_row=_send_rows(laid, table["send_share"]),
        drawn=drawn,
        other_a=other_a,
        other_w=other_w,
        laptop_w=_laptop_w(station.laptop, laid.coverage.mean(data)),
        charger_a=offered_a(station, hour, laid.coverage.steps),
        store_a=stored_offer_a(station, hour, laid.coverage.steps),
        sendings=sendings,
        listening_a=station.radio.receive_a,
    )
    for holder in (loads, *drawn.values()):
        for value in vars(holder).values():
            if isinstance(value, np.ndarray):
                value.setflags(write=False)
    return loads


@dataclass(frozen=True)
class _Row:
    """Mean currents over one block; the names are those of StationLoads."""

    radio_rest_a: float
    radio_send_a: float
    amplifier_rest_a: float
    amplifier_send_a: float
    amplifier_out_a: float
    radio_square_a2: float
    amplifier_square_a2: float
    both_square_a2: float
    receive_a: float
    off_a: float
    send_share: float


_ROW_NAMES = tuple(field.name for field in fields(_Row))


def _block_sending(station: Station, block: Block) -> BlockSending:
    factors = emission(block.activity, processed=block.processed)
    if not block.sends:
        return BlockSending(None, 0.0, factors)
    way, rf_w = way_for(station, block.rf_w)
    return BlockSending(way if rf_w > 0 else None, rf_w, factors)


def _idle_row(radio: Radio) -> _Row:
    off = radio.off_a
    return _Row(off, 0, 0, 0, 0, off**2, 0, off**2, 0, off, 0)


def _block_currents(station: Station, block: Block, how: BlockSending) -> _Row:
    radio = station.radio
    if block.activity == "off":
        return _idle_row(radio)
    way = how.way
    sending = block.transmit_share if way is not None else 0.0
    # A station that cannot send at all listens instead.
    listening = (1 - sending) * block.listen_share
    resting = 1 - sending - listening
    boosted = way is not None and way.amplified
    amplifier = station.amplifier
    out_a = idle_amplifier_a(station, amplifier.out_of_session) if amplifier else 0.0
    gap_a = idle_amplifier_a(station, amplifier.in_session) if amplifier and boosted else out_a
    root, factors = sqrt(how.rf_w), how.emission
    radio_law = way.radio if way else None
    amplifier_law = way.amplifier if way and boosted else None
    r_bias, r_root = (radio_law.bias_a, radio_law.root_a * root) if radio_law else (0.0, 0.0)
    # An amplifier passed by keeps drawing what it draws between transmissions.
    a_bias, a_root = (
        (amplifier_law.bias_a, amplifier_law.root_a * root) if amplifier_law else (gap_a, 0.0)
    )
    return _Row(
        radio_rest_a=listening * radio.receive_a + resting * radio.off_a,
        radio_send_a=sending * mean_a(r_bias, r_root, factors.current_factor),
        amplifier_rest_a=gap_a * (1 - sending if boosted else 1.0),
        amplifier_send_a=sending * mean_a(a_bias, a_root, factors.current_factor)
        if boosted
        else 0.0,
        amplifier_out_a=out_a,
        radio_square_a2=sending * mean_square_a2(r_bias, r_root, factors)
        + _silent_square(radio, listening, resting, 0.0),
        amplifier_square_a2=sending * mean_square_a2(a_bias, a_root, factors)
        + (1 - sending) * gap_a**2,
        both_square_a2=sending * mean_square_a2(r_bias + a_bias, r_root + a_root, factors)
        + _silent_square(radio, listening, resting, gap_a),
        receive_a=listening * radio.receive_a,
        off_a=resting * radio.off_a,
        send_share=sending,
    )


def _silent_square(radio: Radio, listening: float, resting: float, beside_a: float) -> float:
    """Return the part of a mean square in which nothing is sent [A²]."""
    return listening * (radio.receive_a + beside_a) ** 2 + resting * (radio.off_a + beside_a) ** 2


def _send_rows(laid: Agenda, send_share: Floats) -> np.ndarray:
    """Return for each step the block that sends most of it, -1 where none does."""
    coverage = laid.coverage
    weight = coverage.share * send_share[coverage.row]
    order = np.argsort(weight, kind="stable")
    order = order[weight[order] > 0]
    rows = np.full(coverage.steps, -1, dtype=np.int64)
    rows[coverage.step[order]] = coverage.row[order]
    return rows


def _laptop_w(laptop: Laptop | None, data_share: Floats) -> Floats:
    if laptop is None or laptop.runs == "never":
        return np.zeros(data_share.size)
    if laptop.runs == "always":
        return np.full(data_share.size, laptop.power_w)
    return laptop.sleep_w + (laptop.power_w - laptop.sleep_w) * data_share
