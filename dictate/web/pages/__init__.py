"""The pages, one module for each; every module has a `router`."""

from dictate.web.pages import (
    animals,
    entries,
    follow_ups,
    glossary,
    learnt,
    left_aside,
    number,
    queue,
    record,
    roster,
    settings,
    sheets,
    sound,
    visits,
    words,
)

__all__ = ["PAGES"]

PAGES = (
    visits,
    queue,
    number,
    words,
    entries,
    sound,
    sheets,
    record,
    learnt,
    left_aside,
    animals,
    follow_ups,
    roster,
    settings,
    glossary,
)
