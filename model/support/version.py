"""The number of this version of the program, and that of what it writes as JSON."""

# The build of the package reads it here.
VERSION = "0.1.0"
# Raised when a key goes or comes to mean something else; keys may be added without.
DOCUMENT_FORMAT = 1
