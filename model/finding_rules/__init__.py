"""One small function for each rule; every module lists its own in ``RULES``."""
