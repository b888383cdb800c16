"""Where the scenario is changed."""
