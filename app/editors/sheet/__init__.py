"""The sheet: a table of slots that open into their fields, the stations side by side."""
