"""The grammar the other way round: say what it can read."""
