"""The printed set of a group: the leader's sheet, labels, the matrix, every kit page with its log.

The leader's sheet can be read without the program.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from typing import BinaryIO

from app.printing.document import ensure_application, pdf_bytes, save
from app.printing.field_log import field_log
from app.printing.foot import Footer
from app.printing.group_after import after_action_bodies
from app.printing.group_labels import label_bodies
from app.printing.group_leader import leader_bodies
from app.printing.group_matrix import matrix_bodies
from app.printing.kit_sheet import kit_sides
from app.printing.marks import Page
from app.printing.paper import PAPERS, Paper, PaperName
from app.printing.plain_pages import FOOT_ROOM, plain_pages
from app.printing.say import Say, Units
from model.engine.comparison import simulate
from model.export.group_data import group_mark
from model.export.kit_page import kit_of
from model.group.after_action import AfterAction, search_after_action
from model.group.group import Group
from model.group.group_run import GroupResult
from model.group.kits import PostKit, is_net_control
from model.group.power_matrix import PowerCell, search_power_matrix
from model.group.shared_odds import GroupOdds
from model.group.single_points import SharedPoint, shared_points
from model.group.spares import Allotment, search_spares
from model.scenario.scenario import Scenario
from model.support.figures import entered
from model.support.progress import Search, finish, within
from model.support.version import VERSION


@dataclass(frozen=True, eq=False)
class GroupAnswers:
    """What is printed of a group.

    Attributes
    ----------
    result : the posts, with their odds where these are worked out.
    spares, power, points, after : who gets which spare, who can power whom, what is shared, what
        the logs say.
    odds : of the net; None where they are not worked out.
    """

    result: GroupResult
    spares: Allotment
    power: tuple[tuple[PowerCell, ...], ...]
    points: tuple[SharedPoint, ...]
    after: AfterAction
    odds: GroupOdds | None = None


def search_answers(result: GroupResult, odds: GroupOdds | None = None) -> Search[GroupAnswers]:
    """Work out what is printed beside the runs and the odds."""
    kits = tuple(row.kit for row in result.posts)
    spares = yield from within(search_spares(result), 0.0, 0.3)
    power = yield from within(search_power_matrix(result.whole.group, kits), 0.3, 0.7)
    after = yield from within(search_after_action(result), 0.7, 1.0)
    return GroupAnswers(result, spares, power, shared_points(result.whole), after, odds)


def group_pages(
    answers: GroupAnswers, *, paper: PaperName = "a4", units: Units = "metric"
) -> list[Page]:
    """Return all pages of a group; see ``search_group_pages``."""
    return finish(search_group_pages(answers, paper=paper, units=units))


def search_group_pages(
    answers: GroupAnswers, *, paper: PaperName = "a4", units: Units = "metric"
) -> Search[list[Page]]:
    """Lay out the whole set: the leader's part, then front, back and log of every kit."""
    ensure_application()
    sheet, result = PAPERS[paper], answers.result
    pages = _leaders_part(answers, sheet, units)
    mark = group_mark(result.whole)
    control = next((row.kit for row in result.posts if is_net_control(row.kit.post)), None)
    for index, row in enumerate(result.posts):
        yield index / len(result.posts)
        pages += _kit_pages(row.kit, control, sheet, units, mark)
    room = sheet.inner_height - FOOT_ROOM
    title = _title("After the exercise", result.whole.group)
    bodies = after_action_bodies(answers.result, answers.after, sheet.inner_width, room)
    return [*pages, *plain_pages(bodies, title, sheet)]


def write_group_pdf(
    answers: GroupAnswers,
    target: str | os.PathLike[str] | BinaryIO,
    *,
    paper: PaperName = "a4",
    units: Units = "metric",
) -> None:
    """Write the whole set to a PDF file or an open stream.

    Raises
    ------
    PageError
        Where the file cannot be written.
    """
    pages = group_pages(answers, paper=paper, units=units)
    save(pdf_bytes(pages, set_title(answers.result)), target)


def set_title(result: GroupResult) -> str:
    """Return what the document is called."""
    return _title("Group", result.whole.group)


def _title(what: str, group: Group) -> str:
    return f"{what}: {' '.join(group.title.split()) or 'without a title'}"


def _leaders_part(answers: GroupAnswers, sheet: Paper, units: Units) -> list[Page]:
    width, room = sheet.inner_width, sheet.inner_height - FOOT_ROOM
    result = answers.result
    group = result.whole.group
    pages: list[Page] = []
    for what, bodies in (
        ("Leader's sheet", leader_bodies(answers.result, answers.spares, answers.points,
                                         answers.odds, units, width, room)),
        ("Who can power whom", matrix_bodies(answers.power, width, room)),
        ("Labels of the spares", label_bodies(result, answers.spares, width, room)),
    ):  # fmt: skip
        pages += plain_pages(bodies, _title(what, group), sheet) if bodies else []
    return pages


def _kit_pages(
    kit: PostKit, control: PostKit | None, sheet: Paper, units: Units, mark: str
) -> list[Page]:
    name = f"{kit.name}, {kit.post.role}" if kit.post.role else kit.name
    page = kit_of(simulate(_question(kit, name)), 0)
    say = replace(Say(units, "plain", kit.trip.days), filled=_filled(kit, control))
    footer = Footer(f"Counterpoise {VERSION} · {name} · input {mark}", mark)
    return [*kit_sides(page, say, sheet, footer), *field_log(page, say, sheet, footer)]


def _question(kit: PostKit, name: str) -> Scenario:
    """Return the kit as a scenario that carries its share of what all share."""
    station = kit.station.model_copy(
        update={
            "name": f"{name}: {kit.station.name}" if kit.station.name else name,
            "extras": (*kit.station.extras, *kit.shared),
        }
    )
    return kit.question.model_copy(update={"stations": (station,)})


def _filled(kit: PostKit, control: PostKit | None) -> tuple[tuple[str, str], ...]:
    post = kit.post
    found = {"Role": post.role, "Call sign": post.call_sign, "Licensed operator": post.licence}
    if control is not None:
        found["Net control"] = control.post.call_sign or control.name
    if post.frequency_mhz is not None:
        found["on"] = entered(post.frequency_mhz, "MHz")
    return tuple(found.items())
