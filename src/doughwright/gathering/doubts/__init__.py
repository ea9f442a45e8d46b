"""Doubts over a whole recipe: its numbers against each other and against what breads are."""
