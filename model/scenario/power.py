"""The parts that store and bring energy: battery, controller, panel and chargers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pydantic import Field

from model.scenario.chemistries import CHEMISTRIES, Chemistry, by_family
from model.scenario.declare import Flag, Number, OneLine, Whole, choice, quantity
from model.scenario.part import (
    STRETCHES_LIMIT,
    Hours,
    Part,
    Shade,
    fuse_type_text,
    plug_text,
    polarity_text,
)

# A controller that is set to whatever battery it charges.
AS_BATTERY = "as battery"
# The names of the entries; a type checker cannot read them from the table.
if TYPE_CHECKING:
    ChemistryName = str
    ProfileName = str
else:
    ChemistryName = Literal[tuple(CHEMISTRIES)]
    ProfileName = Literal[(AS_BATTERY, *CHEMISTRIES)]


class Battery(Part):
    """The station battery, or several alike in parallel."""

    chemistry: ChemistryName = choice(
        "Chemistry",
        help="Sets voltage over charge, what is unavailable in the cold, and the lowest"
        " temperature for charging.",
    )
    capacity_ah: Number = quantity(
        "Rated capacity",
        "Ah",
        gt=0,
        le=5000,
        decimals=1,
        spread=0.03,
        help="Printed on one battery; lead-acid at its 20-hour rate.",
    )
    cells: Whole | None = Field(
        default=None,
        ge=1,
        le=40,
        title="Cells in series",
        description="Left empty: "
        + by_family(lambda each: str(each.cells), "{said} for {families}")
        + ".",
    )
    count: Whole = Field(
        default=1,
        ge=1,
        le=50,
        title="Number in parallel",
        description="Batteries alike, plus to plus and minus to minus.",
    )
    tested_fraction: Number = quantity(
        "Tested capacity",
        default=1.0,
        gt=0,
        le=1.2,
        decimals=2,
        spread=0.1,
        help="Capacity in a discharge test over that on the label. A five-year-old lead-acid"
        " battery may give half.",
    )
    resistance_ohm: Number = quantity(
        "Internal resistance",
        "ohm",
        default=0.0,
        ge=0,
        le=10,
        decimals=4,
        spread=0.3,
        help="Of one battery at 25 °C, with its protection board and terminals.",
    )
    charge_efficiency: Number = quantity(
        "Charge efficiency",
        default=1.0,
        gt=0,
        le=1,
        decimals=3,
        spread=0.02,
        help="Ah that come out for each Ah put in: lithium 0.99, lead-acid about 0.85.",
    )
    charge_limit_a: Number | None = quantity(
        "Charge limit", "A", default=None, gt=0, le=1000, decimals=1, help="Of one battery."
    )
    discharge_limit_a: Number | None = quantity(
        "Discharge limit",
        "A",
        default=None,
        gt=0,
        le=5000,
        decimals=1,
        help="Of one battery: what its protection board lets through.",
    )
    cutoff_v: Number = quantity(
        "Cut-off",
        "V",
        default=0.0,
        ge=0,
        le=100,
        decimals=2,
        spread=0.02,
        help="Loads are cut off when the mean over a minute falls below this.",
    )
    reconnect_v: Number = quantity(
        "Reconnect",
        "V",
        default=0.0,
        ge=0,
        le=100,
        decimals=2,
        help="Rest voltage at which the loads return, once 1 % has been charged.",
    )
    charge_min_c: Number | None = quantity(
        "Lowest charge temperature",
        "°C",
        default=None,
        ge=-60,
        le=60,
        decimals=0,
        help="Temperature of the cells, not of the air. Left empty: "
        + by_family(lambda each: f"{each.lowest_charge_c:g} °C", "{families} {said}")
        + ".",
    )
    kept: Literal["open", "insulated", "warm"] = choice(
        "Battery temperature",
        default="open",
        help="In outside air the cells follow it in about 2 h, insulated in about 8 h; kept warm"
        " means never below the temperature set.",
    )
    warm_c: Number = quantity(
        "Kept warm at",
        "°C",
        default=10.0,
        ge=-20,
        le=40,
        decimals=0,
        help="Temperature that the cells never fall below in their warm place.",
    )
    own_a: Number = quantity(
        "Own current",
        "A",
        default=0.0,
        ge=0,
        le=5,
        decimals=4,
        spread=0.5,
        help="Drawn day and night by protection board and monitor of one battery.",
    )
    rate_exponent: Number | None = quantity(
        "Rate exponent",
        default=None,
        ge=1,
        le=1.6,
        decimals=2,
        spread=0.03,
        help="Peukert exponent: how much more charge a current above the 20-hour rate takes; 1 is"
        " none. Left empty: "
        + by_family(lambda each: f"{each.rate_exponent:g}", "{families} {said}")
        + ".",
    )
    plug: OneLine = plug_text()
    polarity: OneLine = polarity_text()
    fuse_type: OneLine = fuse_type_text()

    @property
    def cell(self) -> Chemistry:
        """What the chemistry fixes of each cell."""
        return CHEMISTRIES[self.chemistry]

    @property
    def cells_in_series(self) -> int:
        """Cells in series, by chemistry where the file is silent."""
        return self.cells if self.cells is not None else self.cell.cells

    @property
    def lowest_charge_c(self) -> float:
        """Cell temperature below which charging is refused [°C]."""
        return self.charge_min_c if self.charge_min_c is not None else self.cell.lowest_charge_c

    @property
    def peukert_exponent(self) -> float:
        """Peukert exponent above the 20-hour current, by chemistry where the file is silent [1]."""
        return self.rate_exponent if self.rate_exponent is not None else self.cell.rate_exponent

    @property
    def full_ah(self) -> float:
        """Tested capacity of all batteries in parallel [Ah]."""
        return self.capacity_ah * self.count * self.tested_fraction


class Controller(Part):
    """The charge controller between panel and battery."""

    kind: Literal["mppt", "pwm"] = choice(
        "Kind",
        help="MPPT holds the panel at its Vmp; PWM holds it at battery voltage.",
    )
    efficiency: Number = quantity(
        "Efficiency",
        default=1.0,
        gt=0,
        le=1,
        decimals=2,
        spread=0.03,
        help="Of an MPPT controller.",
    )
    own_a: Number = quantity(
        "Standby current",
        "A",
        default=0.0,
        ge=0,
        le=5,
        decimals=4,
        spread=0.5,
        help="Drawn from the battery day and night.",
    )
    output_limit_a: Number | None = quantity(
        "Output limit",
        "A",
        default=None,
        gt=0,
        le=500,
        decimals=1,
        help="The most it passes to battery and loads; the rest of the sun goes unused.",
    )
    input_limit_v: Number | None = quantity(
        "Maximum panel voltage",
        "V",
        default=None,
        gt=0,
        le=1000,
        decimals=0,
        help="More destroys it. Open-circuit voltage rises in the cold and adds up in series.",
    )
    start_margin_v: Number = quantity(
        "Starts at battery voltage plus",
        "V",
        default=0.0,
        ge=0,
        le=50,
        decimals=1,
        help="How far the panel's open-circuit voltage must be above the battery's.",
    )
    starts_from_dead: Flag = choice(
        "Starts from a dead battery",
        default=False,
        help="Whether the panel alone can feed the loads while the battery is cut off.",
    )
    profile: ProfileName = choice(
        "Charge profile",
        default=AS_BATTERY,
        help="Chemistry the controller is set to charge. A wrong one overcharges or never fills.",
    )


class Panel(Part):
    """The solar panel, or several alike."""

    rated_w: Number = quantity(
        "Rated power",
        "W",
        gt=0,
        le=20000,
        decimals=0,
        spread=0.1,
        help="Of one panel at 1000 W/m² and 25 °C cells: a laboratory figure.",
    )
    vmp_v: Number = quantity(
        "Voltage at max power (Vmp)",
        "V",
        default=18.0,
        gt=0,
        le=500,
        decimals=1,
        help="Of one panel at maximum power, 1000 W/m² and 25 °C cells.",
    )
    voc_v: Number = quantity(
        "Open-circuit voltage (Voc)",
        "V",
        default=22.0,
        gt=0,
        le=600,
        decimals=1,
        help="Of one panel with nothing connected, 1000 W/m² and 25 °C cells.",
    )
    power_per_c: Number = quantity(
        "Power per °C",
        "1/°C",
        default=-0.004,
        ge=-0.02,
        le=0,
        decimals=4,
        spread=0.15,
        help="Share of the power lost for each degree the cells are above 25 °C.",
    )
    voc_per_c: Number = quantity(
        "Open-circuit voltage per °C",
        "1/°C",
        default=-0.003,
        ge=-0.02,
        le=0,
        decimals=4,
        help="Share of the voltage lost for each degree above 25 °C, and gained below.",
    )
    other_losses: Number = quantity(
        "Other losses",
        default=0.0,
        ge=0,
        le=0.95,
        decimals=2,
        spread=0.5,
        help="Dirt, age, an optimistic rating, a shaded corner. Field reports give 0.15 to 0.3.",
    )
    count: Whole = Field(
        default=1, ge=1, le=50, title="Panels", description="How many alike are wired together."
    )
    wiring: Literal["parallel", "series"] = choice(
        "Wired in",
        default="parallel",
        help="In parallel currents add up, in series voltages; voltages in series shock and arc.",
    )
    mount: Literal["flat", "fixed", "re-aimed"] = choice(
        "Mount", default="flat", help="Flat on the ground, fixed, or turned to the sun at times."
    )
    tilt_deg: Number = quantity(
        "Tilt", "°", default=0.0, ge=0, le=90, decimals=0, spread=0.0, help="0 lies flat."
    )
    azimuth_deg: Number = quantity(
        "Azimuth (true)",
        "°",
        default=180.0,
        ge=0,
        le=360,
        decimals=0,
        spread=0.0,
        help="True bearing the panel faces: 180 is south.",
    )
    re_aim_hours: Number = quantity(
        "Re-aimed every",
        "h",
        default=3.0,
        ge=0.25,
        le=24,
        decimals=1,
        spread=0.0,
        help="How often somebody turns it to where the sun stands in the middle of the interval.",
    )
    shade: Shade = Field(
        default=(),
        max_length=STRETCHES_LIMIT,
        title="Shade",
        description="Between two local times a tree or a wall lets this share of the sun's direct"
        " light through; light from the sky stays. One shaded cell can cost a panel far more than"
        " its area.",
        json_schema_extra={"columns": ["From", "To", "Light left"]},
    )


class Charger(Part):
    """A vehicle, mains or generator charger that runs in set hours."""

    current_a: Number = quantity(
        "Current",
        "A",
        gt=0,
        le=500,
        decimals=1,
        help="What it gives into the battery at most.",
    )
    hours: Hours = Field(
        default="always",
        title="Hours",
        description="When it runs, by the local wall clock, each day.",
        json_schema_extra={"columns": ["From", "To"]},
    )
