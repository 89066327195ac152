"""What every test shares."""

from hypothesis import settings

# A busy machine must not fail a test, nor chance: a commit passes or fails alike everywhere. Speed is
# measured, and chance tried, by the scripts in `bench` (round_trip.py, invariants.py, random lists).
settings.register_profile("untimed", deadline=None, derandomize=True)
settings.load_profile("untimed")
