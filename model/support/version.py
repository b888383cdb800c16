"""The number of this version of the program; the build of the package reads it here."""

VERSION = "0.1.0"
