"""Use cases: one function, one transaction; no HTTP, form, scheduler or database library."""
