"""View models: what one page, one printout or one JSON answer shows, in SI values."""
