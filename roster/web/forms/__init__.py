"""Forms: shape of input only; rules stand in the domain."""
