"""Bench sheet and field log: measure, find the cause, correct."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.field.bench_sheet import BenchReadings as BenchReadings
    from model.field.bench_sheet import apply_readings as apply_readings
    from model.field.bench_sheet import misses as misses
    from model.field.log_check import FieldCheck as FieldCheck
    from model.field.log_check import field_check as field_check
    from model.field.offers import accepted as accepted
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        bench_sheet="BenchReadings apply_readings misses",
        log_check="FieldCheck field_check",
        offers="accepted",
    )
