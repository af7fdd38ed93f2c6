"""The season planner: the best season of events, proven within a stated share of the best."""
