"""Amounts to weights: measures, eggs and packets, and what has to be asked first."""
