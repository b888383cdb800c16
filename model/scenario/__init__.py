"""The immutable question: how a field is declared, parts, stations, site, day, plan."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.scenario.scenario import Block as Block
    from model.scenario.scenario import Day as Day
    from model.scenario.scenario import Scenario as Scenario
    from model.scenario.scenario import Site as Site
    from model.scenario.scenario import Variant as Variant
    from model.scenario.station import Amplifier as Amplifier
    from model.scenario.station import Battery as Battery
    from model.scenario.station import Panel as Panel
    from model.scenario.station import Part as Part
    from model.scenario.station import Radio as Radio
    from model.scenario.station import Station as Station
    from model.scenario.station import Tuner as Tuner
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        scenario="Scenario Site Day Block Variant",
        station="Station Radio Amplifier Tuner Battery Panel Part",
    )
