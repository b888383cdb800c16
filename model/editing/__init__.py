"""Change a scenario by path, by hand and by name; faults, units, variants."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.editing.faults import Fault as Fault
    from model.editing.faults import ScenarioError as ScenarioError
    from model.editing.field_facts import FieldFacts as FieldFacts
    from model.editing.field_facts import describe as describe
    from model.editing.field_facts import field_at as field_at
    from model.editing.paths import value_at as value_at
    from model.editing.paths import with_inserted as with_inserted
    from model.editing.paths import with_removed as with_removed
    from model.editing.paths import with_value as with_value
    from model.editing.paths import with_values as with_values
    from model.editing.variants import as_variant as as_variant
    from model.editing.variants import variant_of as variant_of
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        paths="value_at with_value with_values with_inserted with_removed",
        field_facts="FieldFacts field_at describe",
        faults="Fault ScenarioError",
        variants="variant_of as_variant",
    )
