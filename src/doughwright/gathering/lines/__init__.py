"""Lines of a recipe to their ingredients: amounts, names, and what each is for."""
