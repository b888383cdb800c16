"""The plots: the day of the stations, and the sketch of the horizon."""
