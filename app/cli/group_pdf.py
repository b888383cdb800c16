"""The printed set of a group as a PDF, drawn without a screen."""

from __future__ import annotations

import io
import os
from typing import Literal

from app.cli.outputs import tell, write_bytes
from model.group.after_action import after_action
from model.group.group_run import GroupResult
from model.group.power_matrix import PowerCell
from model.group.shared_odds import GroupOdds
from model.group.single_points import SharedPoint
from model.group.spares import Allotment


def write_set(
    result: GroupResult,
    spares: Allotment,
    power: tuple[tuple[PowerCell, ...], ...],
    points: tuple[SharedPoint, ...],
    odds: GroupOdds | None,
    out: str,
    *,
    paper: Literal["a4", "letter"],
    units: Literal["metric", "us"],
) -> int:
    """Write all pages; returns the exit code."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from app.printing import PageError
    from app.printing.group_set import GroupAnswers, write_group_pdf

    answers = GroupAnswers(result, spares, power, points, after_action(result), odds)
    drawn = io.BytesIO()
    try:
        write_group_pdf(answers, drawn, paper=paper, units=units)
    except PageError as error:
        tell(str(error))
        return 1
    write_bytes(drawn.getvalue(), out)
    return 0
