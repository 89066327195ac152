"""What is drawn on one foot of the claw map: findings, what was done, and each in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Protocol

from dictate.entry.terms import FOOT_NAMES, NO_LESION
from dictate.sheets import claw_drawing as drawing
from dictate.texts import gettext, translated

_SIGNS = ("block", "wrap")


class Found(Protocol):
    @property
    def foot(self) -> str | None: ...
    @property
    def claw(self) -> str | None: ...
    @property
    def zone(self) -> int | None: ...
    @property
    def lesion(self) -> str: ...


class Done(Protocol):
    @property
    def kind(self) -> str: ...
    @property
    def foot(self) -> str | None: ...
    @property
    def claw(self) -> str | None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How the map is drawn."""

    key: str
    small: bool
    focus: bool
    pick: bool = False

    def fill(self, finding: Found) -> str:
        """Hatching lets the numbers show; a small zone would drown in it."""
        solid = self.small and finding.claw is not None
        return (
            "currentColor"
            if solid or (self.small and finding.zone in drawing.BETWEEN)
            else f"url(#{self.key}-hatch)"
        )


def unplaced(foot: str, lesions: Sequence[Found], look: Look) -> str:
    """A question mark for findings whose zone was not said: on their claw, or between the claws."""
    places: dict[int, list[Found]] = {}
    for finding in lesions:
        if finding.zone is None:
            at = 50 if finding.claw is None else 25 if drawing.is_left(foot, finding.claw) else 75
            places.setdefault(at, []).append(finding)
    size = 44 if look.small else 22
    ring = 'stroke-width="1.6" stroke-dasharray="3 2"'
    return "".join(
        _found(
            found,
            ("" if look.small else f'<circle cx="{x}" cy="50" r="11" fill="Canvas" {ring}/>')
            + f'<text x="{x}" y="{50 + 0.36 * size:.1f}" font-size="{size}" font-weight="bold" '
            f'text-anchor="middle" stroke="none">?</text>',
            "currentColor",
            look,
        )
        for x, found in places.items()
    )


def marked(foot: str, lesions: Sequence[Found], look: Look) -> str:
    """The zones of findings, each marked once however many lie in it."""
    places: dict[str, list[Found]] = {}
    for finding in lesions:
        for shape in _shapes(foot, finding):
            places.setdefault(shape, []).append(finding)
    return "".join(
        _found(found, shape, look.fill(found[0]), look) for shape, found in places.items()
    )


def _found(found: Sequence[Found], shape: str, fill: str, look: Look) -> str:
    """One mark, with what it stands for in words; the keyboard reaches it when asked for."""
    words = escape("; ".join(dict.fromkeys(finding_words(finding) for finding in found)))
    reach = f' tabindex="0" role="img" aria-label="{words}"' if look.focus else ""
    return (
        f'<g class="found" fill="{fill}" stroke="currentColor" stroke-width="2.2" '
        f'stroke-linejoin="round"{reach}><title>{words}</title>{shape}</g>'
    )


def _shapes(foot: str, finding: Found) -> list[str]:
    """What a finding marks: its zone of its claw, or of both when no claw was said."""
    if finding.zone is None:
        return []
    shape = drawing.zone(finding.zone)
    if finding.zone in drawing.BETWEEN:
        return [shape]
    if finding.claw is None:
        # The claw was not said: both are marked, with a dashed edge because one may be meant.
        return [f'<g stroke-dasharray="4 3">{shape}{drawing.mirror(shape)}</g>']
    return [shape if drawing.is_left(foot, finding.claw) else drawing.mirror(shape)]


def signs(foot: str, actions: Sequence[Done]) -> str:
    """A bar under a blocked claw, a ring under a wrapped one."""
    parts = []
    for kind in dict.fromkeys(action.kind for action in actions if action.kind in _SIGNS):
        for action in actions:
            if action.kind != kind:
                continue
            claws = (
                (action.claw,)
                if action.claw
                else (("outer", "inner") if kind == "block" else (None,))
            )
            parts += [
                _sign(kind, 50 if claw is None else 24 if drawing.is_left(foot, claw) else 76)
                for claw in claws
            ]
    return "".join(dict.fromkeys(parts))


def _sign(kind: str, x: int) -> str:
    if kind == "block":
        return f'<rect x="{x - 14}" y="105" width="28" height="7" fill="currentColor"><title>block</title></rect>'
    return (
        f'<ellipse cx="{x}" cy="108.5" rx="13" ry="4" fill="none" stroke="currentColor" '
        f'stroke-width="2"><title>wrap</title></ellipse>'
    )


def tick(finding: Found) -> str:
    """A foot that was looked at and had nothing."""
    return (
        f'<path d="M37 52 l9 12 l17 -32" fill="none" stroke="currentColor" stroke-width="5">'
        f"<title>{escape(finding_words(finding))}</title></path>"
    )


def finding_words(finding: Found) -> str:
    """Say where and what: `left hind outer zone 4: sole ulcer`."""
    place = place_words(finding.foot, finding.claw)
    unsaid = "" if finding.lesion == NO_LESION else gettext("zone not said")
    zone = unsaid if finding.zone is None else gettext("zone %(zone)s", zone=finding.zone)
    where = (
        " ".join(part for part in (place, zone) if part)
        if finding.foot
        else gettext("place not said")
    )
    return f"{where}: {translated(finding.lesion)}"


def place_words(foot: str | None, claw: str | None) -> str:
    return " ".join(translated(part) for part in (FOOT_NAMES.get(foot or ""), claw) if part)
