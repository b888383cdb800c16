"""The step rule of ``model.engine.step`` on arrays of kits; a test keeps the two equal."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from model.engine.batch_clocks import key_down_fails
from model.engine.batch_course import DARK, PLAIN, kinds_of_light, rows, sent
from model.engine.batch_notes import Booleans, Notes
from model.engine.fleet import Each, Fleet, KeyDown
from model.engine.own_store import store_left, store_offer_a
from model.engine.power_limit import lower_power, reduced_load_a
from model.engine.step import RETURN_CHARGE, ROUNDING
from model.engine.sub_rules import ARRAYS, bus_v, charging_limits_a, panel_offer, receive_fails
from model.engine.sure_limits import key_down_above_v, receiving_above_v
from model.engine.tied_panel import settled_tied_each_a
from model.station.chemistry import TABLE_STEPS

SENT_BESIDE = ("send_share", "radio_rest_a", "amplifier_rest_a", "amplifier_out_a")


class Walk:
    """State of all members and the rule that carries it one step on."""

    def __init__(self, fleet: Fleet) -> None:
        self.fleet, shared = fleet, fleet.shared
        self.members = fleet.members
        limits: dict[str, Any] = dict(fleet.limits)
        # The sub-rules read numbers of one kit and of each member alike.
        self.bounds: Any = replace(fleet.shared, **limits)
        self.rows = {name: rows(values) for name, values in fleet.course.items() if values.size}
        self.rest_table = np.array(shared.rest_table_v)
        self.rest_rise = np.append(np.diff(self.rest_table), 0.0)
        self.ohm_table = np.array(shared.charge_resistance_factor)
        self.ohm_rise = np.append(np.diff(self.ohm_table), 0.0)
        self.even_ohm = bool(self.ohm_table[0] == self.ohm_table[-1])
        full = self.bounds.full_ah
        self.scale, self.tiny_ah = TABLE_STEPS / full, ROUNDING * full
        # What no member has is looked for once and not in every step.
        self.heeds_rate = bool(np.any(np.isfinite(self.bounds.rated_a)))
        self.has_cutoff = bool(np.any(self.bounds.cutoff_v))
        self.has_limit = bool(np.any(np.isfinite(self.bounds.discharge_limit_a)))
        self.sends = [bool(np.any(rows >= 0)) for rows in fleet.send_row]
        self.light = kinds_of_light(fleet)
        self.receive_safe_v = receiving_above_v(self.bounds, fleet.most, ARRAYS)
        self.full_safe_v, self.reduced_safe_v = (
            key_down_above_v(
                self.bounds,
                fleet.most,
                key.radio_a,
                key.amplifier_a,
                ARRAYS,
                amplified=key.amplified,
            )
            if key is not None
            else np.zeros(())
            for key in (fleet.full_power, fleet.reduced_power)
        )
        self.stored = np.full(self.members, 0.0) + fleet.start_ah
        self.after_ah = self.stored
        self.laptop_wh = np.full(self.members, 0.0) + fleet.start_laptop_wh
        self.own_store = "store_a" in self.rows
        self.store_fraction: Each = 1.0
        self.dropped = np.zeros(self.members, dtype=bool)
        self.any_dropped = False
        self.since_drop = np.zeros(self.members)
        self.cell = np.zeros(self.members, dtype=np.intp)

    def on_or_all(self) -> Booleans:
        """Return whose loads are on, shape (members,)."""
        return np.ones(self.members, dtype=bool) if self.on is None else self.on

    def step(self, step: int, notes: Notes) -> None:
        """Carry all members through one step and note what became of them."""
        self.now: dict[str, Any] = {name: rows[step] for name, rows in self.rows.items()}
        if self.fleet.repeats > 1:
            self.now = {name: self.fleet.each(row) for name, row in self.now.items()}
        notes.boundary(step, self.stored)
        self._look_up()
        self._feed_laptop()
        self._offer_store()
        self._offer(step)
        self._limit_charging(step)
        self._return_loads()
        self.radio_off: Booleans | None = None
        if (self.rest_v < self.receive_safe_v).any():
            self._silence_radio()
        if self.sends[step]:
            self._lower_power(step)
        self._settle()
        self._store()
        self._use_store()
        self._note_clocks(step, notes)

    def _look_up(self) -> None:
        position = self.stored * self.scale
        np.copyto(self.cell, position, casting="unsafe")
        part = position - self.cell
        rest = self.rest_rise.take(self.cell, mode="clip")
        rest *= part
        rest += self.rest_table.take(self.cell, mode="clip")
        self.rest_v = rest
        self.ohm: Each = self.now["resistance_ohm"]
        if not self.even_ohm:
            rise = self.ohm_rise.take(self.cell, mode="clip")
            self.ohm = self.ohm * (self.ohm_table.take(self.cell, mode="clip") + part * rise)
        self.total_ohm = self.ohm + self.bounds.battery_lead_ohm

    def _offer(self, step: int) -> None:
        """Find what the panel offers: constant power, constant current, or the tied current."""
        self.source_w: Each = 0.0
        self.source_a: Each = 0.0
        self.tied: Booleans | None = None
        kind = self.light[step]
        if kind == DARK:
            return
        if kind == PLAIN:
            self.source_w = self.now["panel_w"]
            return
        now = self.now
        tied, limited, free = panel_offer(
            self.rest_v, now["open_v"], now["best_v"], now["panel_w"], self.bounds
        )
        if not self.fleet.shared.tied:
            self.source_w = np.where(free, now["panel_w"], 0.0)
            self.source_a = np.where(limited, self.bounds.output_limit_a, 0.0)
        if tied.any():
            self.tied = tied
            beside_a = self.now["load_a"] - self.now["charger_a"]
            given_a = settled_tied_each_a(
                self.now, self.bounds, tied, self.rest_v, self.total_ohm, beside_a, self.load_w
            )
            self.source_a = np.where(tied, given_a, self.source_a)

    def _limit_charging(self, step: int) -> None:
        """Find what each battery takes at most, and how far its bus can rise while it is fed."""
        self.limit_a: Each = 0.0
        self.ceiling_v: Each = np.inf
        now = self.now
        if self.light[step] == DARK and not np.any(now["charger_a"]):
            return
        self.limit_a = charging_limits_a(
            self.bounds, self.stored, self.rest_v, self.ohm, self.fleet.step_h,
            now["charge_rate_per_h"],
        )  # fmt: skip
        rises_v = self.rest_v + self.total_ohm * self.limit_a
        offered = (self.source_w > 0.0) | (self.source_a > 0.0) | (now["charger_a"] > 0.0)
        self.ceiling_v = np.where(offered, rises_v, np.inf)

    def _feed_laptop(self) -> None:
        self.load_w: Each = self.now["load_w"]
        if not self.fleet.own_laptop:
            return
        step_h, asked_w = self.fleet.step_h, self.now["laptop_w"]
        own_w = np.minimum(asked_w, self.laptop_wh / step_h)
        self.laptop_wh = self.laptop_wh - own_w * step_h
        supply_w = (asked_w - own_w) / self.bounds.laptop_efficiency
        self.load_w = self.load_w + supply_w

    def _offer_store(self) -> None:
        """Let a source with a store offer what that bears, beside the chargers."""
        if not self.own_store:
            return
        self.stored_a: Each = store_offer_a(
            self.bounds, self.now["store_a"], self.store_fraction, self.fleet.step_h, ARRAYS
        )
        self.now["charger_a"] = self.now["charger_a"] + self.stored_a

    def _use_store(self) -> None:
        """Take from the store what running and giving took."""
        if not self.own_store:
            return
        load_a = self.on_or_all() * (self.load_a + self.load_w / self.bus_v)
        panel_a = self.source_a + self.source_w / self.bus_v
        self.store_fraction = store_left(
            self.bounds, self.now["store_a"], self.stored_a, self.store_fraction,
            self.fleet.step_h, ARRAYS,
            given_a=load_a - self.current_a,
            others_a=panel_a + self.now["charger_a"] - self.stored_a,
        )  # fmt: skip

    def _return_loads(self) -> None:
        """Find whose loads are on; None stands for all."""
        self.on: Booleans | None = None
        self.load_a: Each = self.now["load_a"]
        if not self.any_dropped:
            return
        bounds = self.bounds
        returns = (
            (self.since_drop >= RETURN_CHARGE * bounds.full_ah)
            & (self.rest_v >= bounds.reconnect_v)
            & (self.stored > self.now["floor_ah"])
        )
        self.dropped &= ~returns
        self.any_dropped = bool(self.dropped.any())
        if not self.any_dropped:
            return
        self.on = ~self.dropped
        if self.fleet.shared.starts_from_dead:
            offered_w = self.source_a * self.rest_v + self.source_w
            self.on |= offered_w >= self.load_a * self.rest_v + self.load_w

    def _silence_radio(self) -> None:
        """Switch off the radios that cannot even receive."""
        now = self.now
        beside_a = now["other_a"] + now["amplifier_out_a"] - self.source_a - now["charger_a"]
        sags, over = receive_fails(
            self.bounds, self.rest_v, self.total_ohm, beside_a, self.load_w - self.source_w,
            self.ceiling_v, ARRAYS,
        )  # fmt: skip
        failing = sags | over
        if self.on is not None:
            failing &= self.on
        if failing.any():
            self.radio_off = failing
            silent_a = now["other_a"] + self.bounds.off_a + now["amplifier_out_a"]
            self.load_a = np.where(failing, silent_a, self.load_a)

    def _lower_power(self, step: int) -> None:
        """Let those send less whose volts or battery do not bear the planned power."""
        now = self.now
        beside_a = now["other_a"] - self.source_a - now["charger_a"]
        for row, sent_by in sent(self.fleet.each(self.fleet.send_row[step])):
            how = self.fleet.sendings[row]
            if how is None:
                continue
            found = lower_power(
                how, self.bounds, self.rest_v, self.total_ohm, beside_a,
                self.load_w - self.source_w, now["amplifier_out_a"], self.ceiling_v, ARRAYS,
            )  # fmt: skip
            if found is None:
                continue
            lowered, sqrt_w, amplified = found
            for flags in (sent_by, self.on, None if self.radio_off is None else ~self.radio_off):
                if flags is not None:
                    lowered = lowered & flags
            if lowered.any():
                less_a = reduced_load_a(
                    how,
                    sqrt_w,
                    amplified,
                    **{name: now[name] for name in SENT_BESIDE},
                    listening_a=self.bounds.listening_a,
                    by=ARRAYS,
                )
                self.load_a = np.where(lowered, now["other_a"] + less_a, self.load_a)

    def _solve(self) -> Booleans | None:
        """Find bus volts and current; return who finds no volts that carry the loads."""
        charger_a, ohm = self.now["charger_a"], self.total_ohm
        load_a: Any = self.load_a
        load_w: Any = self.load_w
        if self.on is not None:
            load_a, load_w = self.on * self.load_a, self.on * self.load_w
        as_offered = self.on is None and self.load_a is self.now["load_a"]
        if self.tied is not None and not as_offered:
            # Loads were lowered or dropped since the panels were first settled.
            settled_a = settled_tied_each_a(
                self.now, self.bounds, self.tied, self.rest_v, ohm, load_a - charger_a, load_w
            )
            self.source_a = np.where(self.tied, settled_a, self.source_a)
        constant_a: Each = load_a - self.source_a - charger_a
        power_w: Each = load_w - self.source_w
        self.bus_v, carried = bus_v(self.rest_v - ohm * constant_a, ohm, power_w)
        self.current_a = constant_a + power_w / self.bus_v
        return None if carried is True else ~carried

    def _settle(self) -> None:
        """Settle volts and current, and drop the loads of those that cannot carry them."""
        while True:
            sags = self._solve()
            fails = self._failing(sags)
            if fails is None:
                return
            first = fails & self.latches & ~self.dropped
            self.since_drop[first] = 0.0
            self.dropped |= first
            self.any_dropped = self.any_dropped or bool(first.any())
            self.on = self.on_or_all() & ~fails
            if self.tied is None:
                self._let_rest(np.flatnonzero(fails))
                return

    def _let_rest(self, who: np.ndarray) -> None:
        """Find volts and current of batteries that have just lost their loads."""
        ohm, source_a, source_w, charger_a = (
            value[who] if isinstance(value, np.ndarray) else value
            for value in (self.total_ohm, self.source_a, self.source_w, self.now["charger_a"])
        )
        constant_a = -source_a - charger_a
        settled_v, _ = bus_v(self.rest_v[who] - ohm * constant_a, ohm, -source_w)
        self.bus_v[who] = settled_v
        self.current_a[who] = constant_a - source_w / settled_v

    def _failing(self, sags: Booleans | None) -> Booleans | None:
        """Return whose loads must drop now: sag, empty, cut-off or the battery's own limit."""
        bounds, current = self.bounds, self.current_a
        if sags is None and not current.max() > 0.0:
            return None
        drawn = current
        if self.heeds_rate:
            over = current > bounds.rated_a
            if over.any():
                faster = (current / bounds.rated_a) ** self.now["rate_excess"]
                drawn = current * np.where(over, faster, 1.0)
        self.after_ah = self.stored - drawn * self.fleet.step_h
        fails: Booleans = self.after_ah < self.now["floor_ah"] - self.tiny_ah
        if self.has_cutoff:
            fails |= self.bus_v + bounds.battery_lead_ohm * current < bounds.cutoff_v
        draws = current > 0.0
        fails &= draws
        if sags is not None:
            fails |= sags
        # A protection that tripped on current closes once the load is gone.
        self.latches = fails
        if self.has_limit:
            fails = fails | ((current > bounds.discharge_limit_a) & draws)
        if self.on is not None:
            fails = fails & self.on
        return fails if fails.any() else None

    def _store(self) -> None:
        """Take the charge out of the battery or put it in, as far as it may be."""
        draws = self.current_a > 0.0
        if draws.all():
            self.stored = np.maximum(self.after_ah, 0.0)
            return
        if not self.current_a.min() < 0.0:
            self.stored = np.where(draws, np.maximum(self.after_ah, 0.0), self.stored)
            return
        bounds, current, step_h = self.bounds, self.current_a, self.fleet.step_h
        full, efficiency = bounds.full_ah, bounds.charge_efficiency
        limit_a = self.limit_a
        clipped = ~draws & (-current > limit_a)
        if clipped.any():
            self.current_a = current = np.where(clipped, -limit_a, current)
            self.bus_v = np.where(clipped, self.rest_v + self.total_ohm * limit_a, self.bus_v)
            if self.fleet.own_laptop:
                self._recharge_laptop(clipped, limit_a)
        gained = np.where(draws, 0.0, -current * efficiency * step_h)
        self.since_drop += gained
        charged = np.minimum(self.stored + gained, full)
        self.stored = np.where(draws, np.maximum(self.after_ah, 0.0), charged)

    def _recharge_laptop(self, clipped: Booleans, limit_a: Each) -> None:
        """Give the laptop's own battery what the station's cannot take."""
        bounds, now, bus_v = self.bounds, self.now, self.bus_v
        spare_w = (
            (self.source_a + now["charger_a"]) * bus_v
            + self.source_w
            - (self.load_w + (self.load_a + limit_a) * bus_v)
        )
        taken_w = np.minimum(
            np.minimum(
                bounds.laptop_charge_w,
                np.minimum(spare_w, self.source_a * bus_v + self.source_w)
                * bounds.laptop_efficiency,
            ),
            (bounds.laptop_full_wh - self.laptop_wh) / self.fleet.step_h,
        )
        takes = clipped & (taken_w > 0.0) & self.on_or_all()
        taken_w = np.where(takes, taken_w, 0.0)
        self.laptop_wh = self.laptop_wh + taken_w * self.fleet.step_h
        self.load_w = self.load_w + taken_w / bounds.laptop_efficiency

    def _note_clocks(self, step: int, notes: Notes) -> None:
        receives = self.on
        if self.radio_off is not None:
            receives = self.on_or_all() & ~self.radio_off
        notes.step(step, self.on, receives, self._full_fails, self._reduced_fails)

    def _full_fails(self, asked: Booleans) -> Booleans | None:
        return self._fails(self.fleet.full_power, self.full_safe_v, asked)

    def _reduced_fails(self, asked: Booleans) -> Booleans | None:
        return self._fails(self.fleet.reduced_power, self.reduced_safe_v, asked)

    def _fails(self, key: KeyDown | None, safe_v: Each, asked: Booleans) -> Booleans | None:
        """Return who of those asked for fails with the key down; None stands for nobody."""
        if key is None:
            return None
        doubtful = asked & (self.rest_v < safe_v)
        if not doubtful.any():
            return None
        return key_down_fails(
            key, self.bounds, self.now, doubtful, self.rest_v, self.total_ohm, self.source_a,
            self.load_w - self.source_w, self.ceiling_v, self.bus_v, self.tied,
        )  # fmt: skip
