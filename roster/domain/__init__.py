"""Pure rules of the trade: values in, verdicts with reasons out; the day is an argument."""
