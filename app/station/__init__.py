"""The station builder: stations side by side, each part on a line that opens in place."""
