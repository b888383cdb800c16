"""The lenses: what is seen of the scenario, one at a time, beside the builders."""
