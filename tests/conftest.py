"""What every test shares."""

from hypothesis import settings

# A busy machine must not fail a test; speed is measured by the scripts in `bench`.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
