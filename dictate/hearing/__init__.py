"""From sound to words: recognisers, their models and graphs, and how sure the words are."""

from dictate.hearing.engine import Engine, EngineDescription, FakeEngine, Fit, Heard
from dictate.hearing.opening import open_engine

__all__ = ["Engine", "EngineDescription", "FakeEngine", "Fit", "Heard", "open_engine"]
