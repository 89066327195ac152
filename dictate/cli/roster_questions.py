"""What only a person can know before a roster is taken in, and how it is asked."""

import sys
from collections.abc import Callable
from enum import StrEnum

import typer

from dictate.cli.common import say
from dictate.store.roster import ManyLeaveError
from dictate.store.roster_lines import RosterChange


class Returned(StrEnum):
    """What the number of an animal that had left means."""

    SAME = "same"
    NEW = "new"


class Zeros(StrEnum):
    """What a number means that is another one but for zeros in front."""

    SAME = "same"
    OTHER = "other"


class OpenQuestionError(Exception):
    """Nothing is kept yet: a person has to be asked."""

    def __init__(self, change: RosterChange) -> None:
        super().__init__()
        self.change = change


def at_terminal() -> bool:
    return sys.stdin.isatty()


def questions(change: RosterChange) -> list[str]:
    """What a person has to say before all lines can be taken in, and how."""
    asked = []
    if change.came_back:
        asked.append(
            "Numbers of animals that had left: say --returned same (they are back) or --returned new."
        )
    if change.but_for_zeros:
        asked.append(
            "Numbers that are one but for zeros in front: say --zeros same (one animal, who gets the"
            " number of the list) or --zeros other."
        )
    return asked


def asked(
    attempt: Callable[..., RosterChange], *, sure: bool, again: bool | None, zeros: bool | None
) -> RosterChange:
    """Take the lines in as one act, after asking what only a person can know.

    Without a terminal nobody is asked: those lines wait, and the command says what to say.
    """
    while True:
        try:
            return attempt(sure=sure, again=again, zeros=zeros, ask=at_terminal())
        except ManyLeaveError as error:
            if not at_terminal():
                raise
            say(error.what)
            if not typer.confirm("Take them off? They keep their history."):
                raise
            sure = True
        except OpenQuestionError as question:
            change = question.change
            if change.came_back and again is None:
                some = ", ".join(change.came_back[:10])
                again = typer.confirm(
                    f"{some}: borne by animals that left. Are they those animals again?"
                )
            elif change.but_for_zeros and zeros is None:
                some = "; ".join(change.undecided[one] for one in change.but_for_zeros[:5])
                zeros = typer.confirm(f"{some}. Are they one animal each?")
