"""The fixed terms of an entry: feet, claws, stages, and the finding that there was no lesion.

The grammar has the same ones in its lexicon; `tests/dictate/entry` holds them together, so that a
command which only reads the record need not load the grammar.
"""

from dictate.texts import noted

FEET = ("LF", "RF", "LH", "RH")
"""In the order of every list and drawing: front before hind, left before right."""

FOOT_NAMES = {
    "LF": noted("left front"), "RF": noted("right front"),
    "LH": noted("left hind"), "RH": noted("right hind"),
}  # fmt: skip

CLAWS = ("outer", "inner")

STAGES = ("M0", "M1", "M2", "M3", "M4", "M4.1")
"""Of digital dermatitis (Döpfer et al. 1997, Berry et al. 2012)."""

SCALES = ("1-5", "0-3")
"""Of locomotion: Sprecher et al. 1997, AHDB mobility score."""

NO_LESION = "no lesion"
"""A foot that was looked at and had none: a finding in its own right, which counts."""
