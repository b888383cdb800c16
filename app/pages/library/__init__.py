"""The parts library: what a person keeps, and how it is browsed, edited and exchanged."""
