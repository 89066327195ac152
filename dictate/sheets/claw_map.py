"""The claw map: the eight claws seen from the sole, with what was found drawn in, as SVG.

Feet stand as on the cow seen from above with her head up the page, so her left is on the left; each
foot is drawn as its sole. The drawing is made for black and white: a lesion's zone is hatched and
outlined, what was done to a claw is a sign beneath it. Where no zone was said nothing on the sole is
hatched: a question mark stands on the claw, or between the claws when no claw was said either. It uses no style sheet and no script, so it may stand in a page, in a printed sheet or alone.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Protocol

from dictate.entry.terms import FEET, FOOT_NAMES, NO_LESION
from dictate.sheets import claw_drawing as drawing
from dictate.texts import gettext, translated

_SIGNS = {"block": "block", "wrap": "wrap"}
_GAP = {False: 14, True: 8}
"""Between two feet of the large and of the small map."""
_HEAD = 16
"""Height for a foot's letters; the small map has them above it."""
_BENEATH = 10
"""Height for the signs of what was done."""


class _Found(Protocol):
    @property
    def foot(self) -> str | None: ...
    @property
    def claw(self) -> str | None: ...
    @property
    def zone(self) -> int | None: ...
    @property
    def lesion(self) -> str: ...


class _Done(Protocol):
    @property
    def kind(self) -> str: ...
    @property
    def foot(self) -> str | None: ...
    @property
    def claw(self) -> str | None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """How the map is drawn."""

    key: str
    small: bool
    focus: bool
    pick: bool = False

    def fill(self, finding: _Found) -> str:
        """Hatching lets the numbers show; a small zone would drown in it."""
        solid = self.small and finding.claw is not None
        return (
            "currentColor"
            if solid or (self.small and finding.zone in drawing.BETWEEN)
            else f"url(#{self.key}-hatch)"
        )


def claw_map(
    findings: Iterable[_Found],
    actions: Iterable[_Done] = (),
    *,
    title: str,
    key: str = "map",
    small: bool = False,
    focus: bool = False,
    feet: Sequence[str] = FEET,
    pick: bool = False,
) -> str:
    """Draw findings (and blocks and wraps) on the eight claws; return one `<svg>` element.

    `title` names the animal for screen readers. `key` must differ between maps of one page.
    `small` sets the feet side by side, outlines only, zones filled.
    `focus` lets the keyboard reach every finding, whose words then show as its title. `feet` draws
    fewer than the four. `pick` says at each zone of the large map what it is (`data-foot`, `data-claw`,
    `data-zone`), for a script that takes clicks.
    """
    found, done = list(findings), list(actions)
    look = _Look(key=escape(key), small=small, focus=focus, pick=pick)
    step_x = drawing.WIDTH + _GAP[small]
    step_y = drawing.HEIGHT + _BENEATH + (0 if small else _HEAD)
    columns = len(feet) if small else min(2, len(feet))
    rows = len(feet) // columns
    parts = [
        f'<g transform="translate({at % columns * step_x} {at // columns * step_y})">'
        f"{_foot(foot, found, done, look)}</g>"
        for at, foot in enumerate(feet)
    ]
    total_width, total_height = columns * step_x - _GAP[small], rows * step_y
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="claw-map" role="img" '
        f'viewBox="0 0 {total_width} {total_height}" aria-labelledby="{look.key}-title {look.key}-desc">'
        f'<title id="{look.key}-title">{escape(title)}</title>'
        f'<desc id="{look.key}-desc">{escape(_in_words(found, done))}</desc>'
        f"{_hatching(look)}{''.join(parts)}</svg>"
    )


def _foot(foot: str, findings: Sequence[_Found], actions: Sequence[_Done], look: _Look) -> str:
    own = [finding for finding in findings if finding.foot == foot]
    lesions = [finding for finding in own if finding.lesion != NO_LESION]
    placed = [finding for finding in lesions if finding.zone is not None]
    parts = [_plain_zones(foot, look), _marked(foot, placed, look), _unplaced(foot, lesions, look)]
    parts.append(_signs(foot, [action for action in actions if action.foot == foot]))
    if own and not lesions:
        parts.append(_tick(own[0]))
    if look.small:
        return "".join(parts)
    return (
        f'<text x="50" y="12" font-size="12" font-weight="bold" text-anchor="middle" '
        f'fill="currentColor">{foot}</text><g transform="translate(0 {_HEAD})">{"".join(parts)}</g>'
    )


def _unplaced(foot: str, lesions: Sequence[_Found], look: _Look) -> str:
    """A question mark for findings whose zone was not said: on their claw, or between the claws."""
    places: dict[int, list[_Found]] = {}
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


def _plain_zones(foot: str, look: _Look) -> str:
    """Outline both claws; on the large map their zones with numbers, and what lies between."""
    if look.small:
        outline = drawing.claw()
        return (
            '<g fill="none" stroke="currentColor" stroke-width="2.2">'
            f"{outline}{drawing.mirror(outline)}</g>"
        )
    outline = drawing.claw(more='stroke-width="1.8" pointer-events="none"')
    left, right = (
        "".join(
            drawing.zone(zone, more=_told(foot, side, zone, look))
            for zone, *_ in drawing.labels()
            if zone not in drawing.BETWEEN
        )
        + outline
        for side in (("outer", "inner") if foot[0] == "L" else ("inner", "outer"))
    )
    between = "".join(
        drawing.zone(zone, more=f'stroke-dasharray="2 2"{_told(foot, "", zone, look)}')
        for zone in drawing.BETWEEN
    )
    drawn = (
        f'<g fill="none" stroke="currentColor" stroke-width="0.6">{left}{drawing.mirror(right)}'
        f"{between}</g>"
    )
    texts = []
    for zone, x, y, size in drawing.labels():
        places = (x,) if zone in drawing.BETWEEN else (x, drawing.WIDTH - x)
        baseline = y + 0.36 * size
        texts += [
            f'<text x="{place:g}" y="{baseline:.1f}" font-size="{size}">{zone}</text>'
            for place in places
        ]
    return (
        f'{drawn}<g text-anchor="middle" fill="currentColor" pointer-events="none">'
        f"{''.join(texts)}</g>"
    )


def _told(foot: str, claw: str, zone: int, look: _Look) -> str:
    """What a zone says of itself to a script; nothing when nobody picks."""
    if not look.pick:
        return ""
    side = f' data-claw="{claw}"' if claw else ""
    return f' data-foot="{foot}"{side} data-zone="{zone}" pointer-events="all"'


def _marked(foot: str, lesions: Sequence[_Found], look: _Look) -> str:
    places: dict[str, list[_Found]] = {}
    for finding in lesions:
        for shape in _shapes(foot, finding):
            places.setdefault(shape, []).append(finding)
    return "".join(
        _found(found, shape, look.fill(found[0]), look) for shape, found in places.items()
    )


def _found(found: Sequence[_Found], shape: str, fill: str, look: _Look) -> str:
    """One mark, with what it stands for in words; the keyboard reaches it when asked for."""
    words = escape("; ".join(dict.fromkeys(_words(finding) for finding in found)))
    reach = f' tabindex="0" role="img" aria-label="{words}"' if look.focus else ""
    return (
        f'<g class="found" fill="{fill}" stroke="currentColor" stroke-width="2.2" '
        f'stroke-linejoin="round"{reach}><title>{words}</title>{shape}</g>'
    )


def _shapes(foot: str, finding: _Found) -> list[str]:
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


def _signs(foot: str, actions: Sequence[_Done]) -> str:
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


def _tick(finding: _Found) -> str:
    return (
        f'<path d="M37 52 l9 12 l17 -32" fill="none" stroke="currentColor" stroke-width="5">'
        f"<title>{escape(_words(finding))}</title></path>"
    )


def _hatching(look: _Look) -> str:
    return (
        f'<defs><pattern id="{look.key}-hatch" width="4" height="4" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="1.3" height="4" fill="currentColor"/></pattern></defs>'
    )


def _in_words(findings: Sequence[_Found], actions: Sequence[_Done]) -> str:
    nothing = gettext("Nothing recorded")
    said = [_words(finding) for finding in findings]
    said += [
        f"{translated(action.kind)}: {_place(action.foot, action.claw)}".rstrip(": ")
        for action in actions
    ]
    seen = gettext("Eight claws seen from the sole, the cow's left on the left.")
    return f"{seen} {'; '.join(said) or nothing}."


def _words(finding: _Found) -> str:
    place = _place(finding.foot, finding.claw)
    unsaid = "" if finding.lesion == NO_LESION else gettext("zone not said")
    zone = unsaid if finding.zone is None else gettext("zone %(zone)s", zone=finding.zone)
    where = (
        " ".join(part for part in (place, zone) if part)
        if finding.foot
        else gettext("place not said")
    )
    return f"{where}: {translated(finding.lesion)}"


def _place(foot: str | None, claw: str | None) -> str:
    return " ".join(translated(part) for part in (FOOT_NAMES.get(foot or ""), claw) if part)
