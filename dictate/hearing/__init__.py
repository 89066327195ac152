"""From sound to words: recognisers, their models and graphs, and how sure the words are."""

from dictate.hearing.engine import Engine, EngineDescription, Fit, Heard, open_engine

__all__ = ["Engine", "EngineDescription", "Fit", "Heard", "open_engine"]
