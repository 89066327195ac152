"""One foot as shapes: smooth outlines of its zones from `claw_map.toml`, and the key that names them."""

import tomllib
from collections.abc import Sequence
from functools import cache
from html import escape
from importlib.resources import files
from typing import Any

from dictate.texts import gettext

Point = Sequence[float]

WIDTH, HEIGHT = 100, 104
BETWEEN = (0, 10)
"""Zones that lie between the claws and belong to the foot."""
_KEY_LETTERS = 9.4
"""At the width of the sheet's key these are more than 7 points high."""


def claw(*, more: str = "") -> str:
    """The outline of the left claw as a `<path>`; `more` is further attributes."""
    return _path(_outline(_data()["claw_outline"]["edges"]), more)


@cache
def zone(number: int, *, more: str = "") -> str:
    """One zone of the left claw, or one between the claws, as a `<path>`."""
    data = _data()
    if number in BETWEEN:
        points = data["between"][str(number)]
        return _path(_curve([*points, points[0]], closed=True), more)
    return _path(_outline(data["claw"][str(number)]), more)


def labels() -> list[tuple[int, float, float, float]]:
    """Zone, x, y and size of each number on the left claw and between."""
    return [(int(name), x, y, size) for name, (x, y, size) in _data()["label"].items()]


def zone_words() -> list[tuple[int, str]]:
    """Each zone's number with what it is in plain words."""
    return [(int(name), words) for name, words in _data()["words"].items()]


def is_left(foot: str, claw: str) -> bool:
    """A left foot's outer claw is on the left, as is a right foot's inner one."""
    return (foot[0] == "L") == (claw == "outer")


def mirror(shape: str) -> str:
    """The same shape on the right claw."""
    return f'<g transform="translate({WIDTH} 0) scale(-1 1)">{shape}</g>'


def key_drawing() -> str:
    """A left foot with every zone numbered once, for the key of a sheet."""
    zones = "".join(zone(int(name)) for name in _data()["claw"])
    outline = claw(more='stroke-width="1.8"')
    between = "".join(zone(name, more='stroke-dasharray="2 2"') for name in BETWEEN)
    numbers = "".join(
        f'<text x="{x}" y="{y + 0.36 * _KEY_LETTERS:.1f}">{name}</text>'
        for name, (x, y) in _data()["key"].items()
    )
    title = gettext("The zones of a left foot, seen from the sole")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="-6 0 {WIDTH + 8} {HEIGHT + 11}" '
        'aria-labelledby="zones-title"><title id="zones-title">'
        f'{escape(title)}</title><g fill="none" stroke="currentColor" stroke-width="0.6" stroke-linejoin="round">'
        f"{zones}{outline}{mirror(zones + outline)}{between}"
        '<path d="M63 30 L60 30 M63 57 L60.6 57"/></g>'
        f'<g text-anchor="middle" fill="currentColor" font-size="{_KEY_LETTERS}">{numbers}'
        f'<text x="24" y="{HEIGHT + 9}">outer</text><text x="76" y="{HEIGHT + 9}">inner</text></g></svg>'
    )


def _path(drawn: str, more: str) -> str:
    return f'<path d="{drawn}Z"{f" {more}" if more else ""}/>'


def _outline(names: Sequence[str]) -> str:
    """Run the named borders one after the other."""
    edges = _data()["edge"]
    drawn = ""
    for at, name in enumerate(names):
        points = edges[name[1:]][::-1] if name.startswith("-") else edges[name]
        curve = _curve(points)
        drawn += curve if at == 0 else curve[curve.index("C") :]
    return drawn


def _curve(points: Sequence[Point], *, closed: bool = False) -> str:
    """A smooth line through the points (Catmull-Rom, as cubic Bezier pieces)."""
    last = len(points) - 1
    before = (points[last - 1] if closed else points[0], *points)
    after = (*points, points[1] if closed else points[last])
    drawn = f"M{_at(points[0])}"
    for at in range(last):
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = (
            before[at],
            points[at],
            points[at + 1],
            after[at + 2],
        )
        drawn += (
            f"C{_at((bx + (cx - ax) / 6, by + (cy - ay) / 6))} "
            f"{_at((cx - (dx - bx) / 6, cy - (dy - by) / 6))} {_at((cx, cy))}"
        )
    return drawn


def _at(point: Point) -> str:
    return " ".join(f"{round(part, 1):g}" for part in point)


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads((files("dictate.sheets") / "claw_map.toml").read_text("utf-8"))
