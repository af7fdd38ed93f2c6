"""Measuring and showing the service: bench, drills, the demonstration season."""
