"""Many kits: one row a post, spares, who can power whom, drills, shared skies, tonight's board."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.group.board import Report as Report
    from model.group.board import tonight as tonight
    from model.group.group import Group as Group
    from model.group.group_file import read_group as read_group
    from model.group.group_file import write_group as write_group
    from model.group.group_run import GroupResult as GroupResult
    from model.group.group_run import run_group as run_group
    from model.group.kits import LoadedGroup as LoadedGroup
    from model.group.shared_odds import group_odds as group_odds
    from model.group.single_points import shared_points as shared_points
    from model.group.spares import allot_spares as allot_spares
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        group="Group",
        group_file="read_group write_group",
        group_run="GroupResult run_group",
        kits="LoadedGroup",
        board="Report tonight",
        shared_odds="group_odds",
        single_points="shared_points",
        spares="allot_spares",
    )
