"""Variants that do not fit their scenario."""

from __future__ import annotations

from model.editing.variants import why_unfit, without_variants
from model.findings.finding import Finding
from model.scenario.scenario import Scenario


def findings_of_variants(scenario: Scenario) -> tuple[Finding, ...]:
    """Return a warning for each variant that does not fit its scenario, and why."""
    bare = without_variants(scenario)
    return tuple(
        Finding(
            "warning",
            f"variants.{index}",
            f"The variant {variant.name} cannot be made: {'; '.join(misfits)}.",
            "Put back what it changes, or delete the variant.",
        )
        for index, variant in enumerate(scenario.variants)
        if (misfits := why_unfit(bare, variant))
    )
