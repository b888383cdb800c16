"""Read, migrate and write files; the schema; what keeps a file whole."""
