"""Physics of the parts that does not depend on the charge of the battery."""
