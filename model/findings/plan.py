"""Rules about the plan: blocks that cannot be, or that do not do what they seem to."""

from __future__ import annotations

from collections.abc import Iterator

from model.findings.finding import Finding, Setting, clock_span
from model.station.emission import HIGHEST_SLOT_SHARE
from model.support.figures import entered, percent

SILENT = ("off", "watch")


def _slotted_share(setting: Setting) -> Iterator[Finding]:
    for index, block in enumerate(setting.plan):
        if block.activity == "slots" and block.transmit_share > HIGHEST_SLOT_SHARE:
            yield Finding(
                "error",
                f"plan.{index}.transmit_share",
                f"{clock_span(block)} transmits for {entered(block.transmit_share)} of its time; a"
                " slotted mode transmits 12.64 s of every second 15 s slot, 0.4213 at most.",
                "Enter 0.4213 or less.",
            )


def _sends_nothing(setting: Setting) -> Iterator[Finding]:
    for index, block in enumerate(setting.plan):
        if block.activity in SILENT:
            if block.transmit_share > 0:
                yield Finding(
                    "warning",
                    f"plan.{index}.transmit_share",
                    f"{clock_span(block)} is {_silent_name(block.activity)}: nothing is"
                    f" transmitted, the share of {entered(block.transmit_share)} is not used.",
                    "Set the share to 0, or choose the mode you transmit in.",
                )
        elif block.transmit_share > 0 and block.rf_w == 0:
            yield Finding(
                "warning",
                f"plan.{index}.rf_w",
                f"{clock_span(block)} transmits for {percent(block.transmit_share)} of its time"
                " at 0 W: nothing is transmitted.",
                "Enter the power you mean to use.",
            )
        elif block.transmit_share == 0 and block.rf_w > 0:
            yield Finding(
                "hint",
                f"plan.{index}.transmit_share",
                f"{clock_span(block)} plans {entered(block.rf_w, 'W')} but no time to transmit.",
                "Usual transmit share: station checking in 0.1, net control 0.5.",
            )


def _silent_name(activity: str) -> str:
    return "a listening watch" if activity == "watch" else "off"


def _licence(setting: Setting) -> Iterator[Finding]:
    limit_w = setting.site.licence_max_w
    if limit_w is None:
        return
    for index, block in enumerate(setting.plan):
        if block.sends and block.rf_w > limit_w:
            yield Finding(
                "warning",
                f"plan.{index}.rf_w",
                f"{clock_span(block)} plans {entered(block.rf_w, 'W')}; your licence limit here is"
                f" {entered(limit_w, 'W')}.",
                f"Plan {entered(limit_w, 'W')} or less, or correct the licence limit of the site.",
            )


def _frequency(setting: Setting) -> Iterator[Finding]:
    for index, block in enumerate(setting.plan):
        if block.sends and block.frequency_mhz is None:
            yield Finding(
                "hint",
                f"plan.{index}.frequency_mhz",
                f"{clock_span(block)} has no frequency, so no safe distance from the antenna"
                " can be worked out.",
                "Enter the frequency.",
            )


def _processor(setting: Setting) -> Iterator[Finding]:
    for index, block in enumerate(setting.plan):
        if block.processed and block.activity != "voice":
            yield Finding(
                "hint",
                f"plan.{index}.processed",
                f"{clock_span(block)} is not voice: the speech processor changes nothing.",
            )


def _empty(setting: Setting) -> Iterator[Finding]:
    if not setting.plan:
        yield Finding(
            "hint", "plan", "The plan is empty: every station is off all day.", "Add a block."
        )


RULES = (_slotted_share, _sends_nothing, _licence, _frequency, _processor, _empty)
