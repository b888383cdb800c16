"""Rules about the plan: blocks that cannot be, or that do not do what they seem to."""

from __future__ import annotations

from collections.abc import Iterator

from model.findings.finding import Finding, Setting, clock_span
from model.station.emission import HIGHEST_SLOT_SHARE

SILENT = ("off", "watch")


def _slotted_share(setting: Setting) -> Iterator[Finding]:
    for index, block in enumerate(setting.plan):
        if block.activity == "slots" and block.transmit_share > HIGHEST_SLOT_SHARE:
            yield Finding(
                "error",
                f"plan.{index}.transmit_share",
                f"{clock_span(block)} spends {block.transmit_share:g} of its time sending; a"
                " slotted mode sends 12.64 s of every second 15 s slot, 0.4213 at most.",
                "Enter 0.4213 or less.",
            )


def _sends_nothing(setting: Setting) -> Iterator[Finding]:
    for index, block in enumerate(setting.plan):
        if block.activity in SILENT:
            if block.transmit_share > 0:
                yield Finding(
                    "warning",
                    f"plan.{index}.transmit_share",
                    f"{clock_span(block)} is {_silent_name(block.activity)}: nothing is sent,"
                    f" whatever the share of {block.transmit_share:g} says.",
                    "Set the share to 0, or choose the mode you send in.",
                )
        elif block.transmit_share > 0 and block.rf_w == 0:
            yield Finding(
                "warning",
                f"plan.{index}.rf_w",
                f"{clock_span(block)} spends {100 * block.transmit_share:.0f} % of its time sending"
                " but asks for 0 W: nothing is sent.",
                "Enter the power you mean to use.",
            )
        elif block.transmit_share == 0 and block.rf_w > 0:
            yield Finding(
                "hint",
                f"plan.{index}.transmit_share",
                f"{clock_span(block)} asks for {block.rf_w:g} W but spends no time sending.",
                "A guest in a net sends about 0.1 of the time, its control about 0.5.",
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
                f"{clock_span(block)} asks for {block.rf_w:g} W; your licence limit here is"
                f" {limit_w:g} W.",
                f"Plan {limit_w:g} W or less, or correct the limit under Place.",
            )


def _frequency(setting: Setting) -> Iterator[Finding]:
    for index, block in enumerate(setting.plan):
        if block.sends and block.frequency_mhz is None:
            yield Finding(
                "hint",
                f"plan.{index}.frequency_mhz",
                f"{clock_span(block)} has no frequency, so no keep-out distance from the antenna"
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
