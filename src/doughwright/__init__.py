"""A bread formula and a kitchen in, a bench plan out."""

__version__ = "0.1.0"
