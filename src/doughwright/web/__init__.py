"""The web app: breads, formula, bench plan and card, at the desk and at the bench."""
