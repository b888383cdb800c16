"""Who ends first, when and why; the table, and each figure's sum."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.verdict.explain_figure import FigureSum as FigureSum
    from model.verdict.explain_figure import figure_sum as figure_sum
    from model.verdict.order import is_guessed as is_guessed
    from model.verdict.order import ranking as ranking
    from model.verdict.order import too_close as too_close
    from model.verdict.pass_fail import grade as grade
    from model.verdict.sentences import end_words as end_words
    from model.verdict.sentences import name_of as name_of
    from model.verdict.table import Row as Row
    from model.verdict.table import Verdict as Verdict
    from model.verdict.table import search_verdict as search_verdict
    from model.verdict.table import verdict as verdict
else:
    from model.support.facade import called, offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        order="is_guessed ranking too_close",
        sentences="end_words name_of",
        table="Row Verdict search_verdict verdict",
        explain_figure="FigureSum figure_sum",
        pass_fail="grade",
    )
    called(__name__, "table", "verdict")
