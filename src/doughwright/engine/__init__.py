"""The physics and the arithmetic: pure functions on SI floats."""
