"""Whole texts and saved pages: their title, parts, method and yield."""
