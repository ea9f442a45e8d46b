"""How many examples a law is tried on."""

from hypothesis import settings

settings.register_profile("laws", max_examples=100, deadline=None, database=None)
settings.load_profile("laws")
