"""What is doubtful about a design, each remark beside its field."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.findings.finding import Finding as Finding
    from model.findings.finding import Level as Level
    from model.findings.rules import find as find
    from model.findings.rules import find_errors as find_errors
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        rules="find find_errors",
        finding="Finding Level",
    )
