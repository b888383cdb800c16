"""The DC leads of a station: the chain, what would mend it, fuses, and measuring."""
