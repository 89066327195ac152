"""What an entry is: its values, its terms, its wording."""
