"""The pages, one module for each; every module has a `router`."""

from dictate.web.pages import (
    animals,
    bill,
    entries,
    farms,
    first_steps,
    follow_ups,
    glossary,
    herd,
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
    voice,
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
    voice,
    left_aside,
    animals,
    follow_ups,
    herd,
    bill,
    farms,
    first_steps,
    roster,
    settings,
    glossary,
)
