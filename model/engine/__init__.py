"""The run: inputs, the step rule and its array form, flows, clocks, ledger, comparison."""
