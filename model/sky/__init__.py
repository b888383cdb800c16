"""Where the sun stands, what light falls, and the weather on a clock."""
