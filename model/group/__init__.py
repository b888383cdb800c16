"""Many kits: one row a post, spares, who can power whom, drills, shared skies, tonight's board."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.group.group import Group as Group
    from model.group.group_file import read_group as read_group
    from model.group.group_file import write_group as write_group
    from model.group.group_run import GroupResult as GroupResult
    from model.group.group_run import run_group as run_group
    from model.group.kits import LoadedGroup as LoadedGroup
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        group="Group",
        group_file="read_group write_group",
        group_run="GroupResult run_group",
        kits="LoadedGroup",
    )
