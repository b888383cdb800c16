"""Who ends first, when and why; the table, and each figure's sum."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.verdict.explain_figure import FigureSum as FigureSum
    from model.verdict.explain_figure import figure_sum as figure_sum
    from model.verdict.pass_fail import grade as grade
    from model.verdict.table import Row as Row
    from model.verdict.table import Verdict as Verdict
    from model.verdict.table import name_of as name_of
    from model.verdict.table import search_verdict as search_verdict
    from model.verdict.table import verdict as verdict
else:
    from model.support.facade import called, offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        table="Verdict Row verdict search_verdict name_of",
        explain_figure="FigureSum figure_sum",
        pass_fail="grade",
    )
    called(__name__, "table", "verdict")
