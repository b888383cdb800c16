"""The immutable question: how a field is declared, parts, stations, site, day, plan."""
