"""Kept files by their fingerprint, and archives of them: knows the file system, nothing else."""
