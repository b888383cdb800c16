"""Read, migrate and write files; the schema; what keeps a file whole."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.files.atomic_write import SaveError as SaveError
    from model.files.atomic_write import write_data as write_data
    from model.files.json_schema import scenario_schema as scenario_schema
    from model.files.scenario_file import dump_scenario as dump_scenario
    from model.files.scenario_file import parse_scenario as parse_scenario
    from model.files.scenario_file import read_scenario as read_scenario
    from model.files.scenario_file import write_scenario as write_scenario
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        scenario_file="read_scenario parse_scenario dump_scenario write_scenario",
        atomic_write="SaveError write_data",
        json_schema="scenario_schema",
    )
