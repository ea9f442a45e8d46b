"""Sheets put into a medium: text, JSON, a page. Units are converted here and nowhere else."""
