"""What every room may lean on: bounded caches, searches that report progress, lean libraries."""
