"""Spoken notes at the chute to a reviewed herd record. The folders read as the stages in order."""

from importlib.metadata import version

__all__ = ["__version__"]

__version__ = version("dictate")
