"""A part of a library that is loaded later is whole once it is used."""

from __future__ import annotations

import subprocess
import sys

LOADING = """
import sys
from model.sky.sun_position import load_library
load_library()
import pvlib
assert "requests" not in sys.modules, "a weather service was loaded"
assert pvlib.location.Location(50.0, 10.0).latitude == 50.0
from pvlib.iotools import read_tmy3
assert read_tmy3.__module__.startswith("pvlib.iotools")
assert not [f for f in sys.meta_path if type(f).__module__ == "model.support.lean_library"]
print("whole")
"""


def test_a_part_that_is_not_needed_is_loaded_when_it_is_used():
    command = [sys.executable, "-c", LOADING]
    done = subprocess.run(command, check=False, capture_output=True, text=True)
    assert done.stdout == "whole\n", done.stderr
