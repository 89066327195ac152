"""The acts of the evening: each changes an entry, and everything that hangs on it, as one transaction.

An act names the version of the entry that the person saw; if somebody changed it meanwhile, nothing
happens and the person is told. It changes the entry, checks it again, lets the notes that carry its
animal follow, and writes events under one name, so that it can be undone as a whole. Page, terminal
and demo change entries only through these.
"""

from dictate.review.acts.act import Store
from dictate.review.acts.changing import amend, fix
from dictate.review.acts.confirming import confirm, confirm_together
from dictate.review.acts.discarding import REASONS, bring_back, discard, restore
from dictate.review.acts.done import Also, Done, NeedsSureError, Now
from dictate.review.acts.moving import Moved, move
from dictate.review.acts.numbers import choose_number
from dictate.review.acts.parting import ITEMS, join, split
from dictate.review.acts.undoing import last_act, undo, undo_act, undo_last
from dictate.review.acts.words import put_words_right

__all__ = [
    "ITEMS",
    "REASONS",
    "Also",
    "Done",
    "Moved",
    "NeedsSureError",
    "Now",
    "Store",
    "amend",
    "bring_back",
    "choose_number",
    "confirm",
    "confirm_together",
    "discard",
    "fix",
    "join",
    "last_act",
    "move",
    "put_words_right",
    "restore",
    "split",
    "undo",
    "undo_act",
    "undo_last",
]
