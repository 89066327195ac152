"""Words to pieces: terms found and repaired, numbers, sites and times read."""
