"""The kit page: what goes along on paper."""
