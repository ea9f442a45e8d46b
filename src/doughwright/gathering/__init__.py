"""Other people's recipes: pasted text, files and saved pages to draft formulas, doubts marked."""
