"""Power cuts, played from the noted writes of a day's work."""
