"""Tables of weights and percentages: their heads, columns and parts."""
