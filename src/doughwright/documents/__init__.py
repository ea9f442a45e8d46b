"""What a baker writes: formula and kitchen documents, read and written back."""
