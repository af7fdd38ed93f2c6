"""Pages for one audience."""
