"""The fewest keys that correct a note's words in place, found by trying what the page offers.

A person is simulated who knows what was said, presses only keys that the page shows at that moment,
and only such as bring the words nearer to what was said or move to another word.
"""

import heapq
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache

from rapidfuzz.distance import Levenshtein

from dictate.review.candidates import Offered
from dictate.review.in_place import InPlace
from dictate.review.line import Line

OPEN = 1
"""W."""
CONFIRM = 1
"""Enter confirms what the page shows that it read."""
READ = 2
"""Enter reads, Enter confirms: where the words make several entries."""
TYPED_MAX = 5
"""Words typed in one go."""
STEPS_MAX = 4000

Look = Callable[..., InPlace]
"""`Correcting.look` for one entry."""


@dataclass(frozen=True, kw_only=True, order=True)
class Found:
    keys: int
    text: str
    pressed: tuple[str, ...] = field(compare=False)


def shortest(
    look: Look, said: str, right: Callable[[InPlace], bool], *, start: str | None, bound: int
) -> Found | None:
    """The shortest way from a card, the final Enter included; None when it takes `bound` keys or more."""
    looked = cache(look)
    words = tuple(said.split())
    first = looked(text=start).line
    queue: list[tuple[int, int, Line, tuple[str, ...]]] = [(OPEN, 0, first, ("W",))]
    done: set[Line] = set()
    best: Found | None = None
    for count in range(STEPS_MAX):
        if not queue:
            break
        keys, _, line, pressed = heapq.heappop(queue)
        if keys + CONFIRM >= (best.keys if best else bound):
            break
        if line in done:
            continue
        done.add(line)
        here = looked(text=line.text, at=line.at, room=line.room, find=False)
        if right(here):
            last = CONFIRM if here.can_confirm else READ
            if best is None or keys + last < best.keys:
                best = Found(keys=keys + last, text=line.text, pressed=(*pressed, "Enter"))
            continue
        for at, (more, then, key) in enumerate(steps(looked, here, words)):
            heapq.heappush(queue, (keys + more, count * 1000 + at, then, (*pressed, key)))
    return best


def steps(look: Look, here: InPlace, said: tuple[str, ...]) -> Iterator[tuple[int, Line, str]]:
    """Each thing that may be pressed: how many keys it takes, and what comes of it."""
    line = here.line
    apart = Levenshtein.distance(line.words, said)
    missing = needed(line, said)

    def wanted(offer: Offered) -> bool:
        then = offer.put_into(line)
        new = tuple(offer.text.split())
        nearer = Levenshtein.distance(then.words, said) < apart
        return new == missing[: len(new)] or (nearer and not then.room)

    def after(then: Line) -> Line:
        return look(text=then.text, at=then.at, room=then.room).line

    for key, offer in enumerate(here.offers if missing else (), start=1):
        if wanted(offer):
            yield 1, after(offer.put_into(line)), str(key)
    if Levenshtein.distance(line.drop().words, said) < apart:
        yield 1, after(line.drop()), "Delete"
    yield from moves(line)
    for letters in range(1, len(missing[0]) if missing else 0):
        typed = missing[0][:letters]
        found = look(text=line.text, at=line.at, room=line.room, find=False, typed=typed)
        for key, offer in enumerate(found.offers, start=1):
            if wanted(offer):
                yield letters + 1, after(offer.put_into(line)), f"{typed} {key}"
    for count in range(1, min(len(missing), TYPED_MAX) + 1):
        typed = " ".join(missing[:count])
        yield len(typed) + 1, after(line.put(typed)), f"{typed} Enter"


def moves(line: Line) -> Iterator[tuple[int, Line, str]]:
    """To another place."""
    if not line.room:
        yield 1, line.make_room(), "Space"
        yield 1, line.go(line.at + 1), "Right"
        yield 1, line.go(len(line.words)), "End"
    if line.at:
        yield 1, line.go(line.at - 1), "Left"


def needed(line: Line, said: tuple[str, ...]) -> tuple[str, ...]:
    """What was said where the line has its place and something else, or nothing."""
    runs: list[list[int]] = []
    for change in Levenshtein.opcodes(line.words, said):
        if change.tag == "equal":
            continue
        if runs and runs[-1][1] == change.src_start and runs[-1][3] == change.dest_start:
            runs[-1][1], runs[-1][3] = change.src_end, change.dest_end
        else:
            runs.append([change.src_start, change.src_end, change.dest_start, change.dest_end])
    for begin, end, first, last in runs:
        if begin <= line.at < end or (line.room and begin <= line.at <= end):
            return said[first + line.at - begin : last]
    return ()
