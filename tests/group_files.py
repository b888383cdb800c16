"""A small group of three posts in a folder."""

from __future__ import annotations

from pathlib import Path

from model.files.scenario_file import dump_scenario, read_scenario

KITS = Path("scenarios/group/kits-field.toml")
GROUP = """format = 1
title = "Three posts"
bad_sky = ["rain"]
posts_needed = 1

[day]
date = 2027-10-22
start_hour = 8
days = 1
wind_m_s = 2
sky = ["mixed"]
low_c = [4]
high_c = [12]

[[posts]]
kit = "01"
scenario = "kits.toml"
role = "net control"
place = "Base"
licence = "leader"

[[posts]]
kit = "02"
scenario = "kits.toml"
station = 2
role = "shelter"
place = "Hill"
licence = "leader"
relay = "01"

[[posts]]
kit = "03"
scenario = "kits.toml"
station = 2
role = "shelter"
place = "Ford"

[[spares]]
name = "Spare pack"
count = 2
where = "Base"

[spares.battery]
chemistry = "LFP"
capacity_ah = 20
cells = 4
mass_kg = 2.5

[[routes]]
between = ["Base", "Hill"]
hours = 2
"""


def group_file(folder: Path) -> Path:
    """Write the group and its kits; return its file."""
    (folder / "kits.toml").write_text(dump_scenario(read_scenario(KITS)), encoding="utf-8")
    path = folder / "group.toml"
    path.write_text(GROUP, encoding="utf-8")
    return path
