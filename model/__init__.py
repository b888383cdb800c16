"""What is true of a portable station: parts, plan, sky, battery, the run and its verdict.

The front door for notebooks; each name loads what it needs when it is first used::

    import model as cp                                   # from the wheel: import counterpoise as cp
    weekend = cp.read("scenarios/ridge-weekend.toml")
    cp.simulate(weekend)                                 # prints itself
    bigger = cp.with_value(weekend, "stations.0.battery.capacity_ah", 30.0)
    cp.simulate(bigger).table()
    cp.what_if(weekend, {"stations.0.radio.receive_a": [0.1, 0.2, 0.3]})
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.editing.faults import ScenarioError as ScenarioError
    from model.editing.paths import value_at as value_at
    from model.editing.paths import with_value as with_value
    from model.editing.paths import with_values as with_values
    from model.engine.what_if import what_if as what_if
    from model.export.shown import advise as advise
    from model.export.shown import read as read
    from model.export.shown import simulate as simulate
    from model.scenario.scenario import Block as Block
    from model.scenario.scenario import Day as Day
    from model.scenario.scenario import Scenario as Scenario
    from model.scenario.scenario import Site as Site
    from model.scenario.station import Battery as Battery
    from model.scenario.station import Panel as Panel
    from model.scenario.station import Radio as Radio
    from model.scenario.station import Station as Station
    from model.sizing.smallest import smallest_battery as smallest_battery
    from model.sizing.smallest import smallest_panel as smallest_panel
else:
    from importlib import import_module

    from model.support.facade import offers

    _offered, __dir__, __all__ = offers(
        __name__,
        **{
            "editing.faults": "ScenarioError",
            "editing.paths": "value_at with_value with_values",
            "engine.what_if": "what_if",
            "export.shown": "advise read simulate",
            "scenario.scenario": "Block Day Scenario Site",
            "scenario.station": "Battery Panel Radio Station",
            "sizing.smallest": "smallest_battery smallest_panel",
        },
    )
    # Rooms that are called as well: ``odds(scenario)``, ``verdict(comparison)``.
    __all__ += ["odds", "verdict"]

    def __getattr__(name: str) -> object:
        return (
            import_module(f"{__name__}.{name}") if name in ("odds", "verdict") else _offered(name)
        )
