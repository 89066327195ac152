"""From sound to words: recognisers, their models and graphs, and how sure the words are."""

from dictate.hearing.engine import SHIFTS, Engine, EngineDescription, Fit, Heard, open_engine

__all__ = ["SHIFTS", "Engine", "EngineDescription", "Fit", "Heard", "open_engine"]
