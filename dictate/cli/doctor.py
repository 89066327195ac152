"""Check the program, its model and its data, and say what to do."""
