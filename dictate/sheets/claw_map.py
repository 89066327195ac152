"""The claw map: the eight claws seen from the sole, with what was found drawn in, as SVG.

Feet stand as on the cow seen from above with her head up the page, so her left is on the left; each
foot is drawn as its sole. The drawing is made for black and white: a lesion's zone is hatched and
outlined, what was done to a claw is a sign beneath it. Where no zone was said nothing on the sole is
hatched: a question mark stands on the claw, or between the claws when no claw was said either. It uses no style sheet and no script, so it may stand in a page, in a printed sheet or alone.
"""

from collections.abc import Iterable, Sequence
from html import escape

from dictate.entry.terms import FEET, NO_LESION
from dictate.sheets import claw_drawing as drawing
from dictate.sheets.claw_marks import (
    Done,
    Found,
    Look,
    finding_words,
    marked,
    place_words,
    signs,
    tick,
    unplaced,
)
from dictate.texts import gettext, translated

_GAP = {False: 14, True: 8}
"""Between two feet of the large and of the small map."""
_HEAD = 16
"""Height for a foot's letters; the small map has them above it."""
_BENEATH = 10
"""Height for the signs of what was done."""


def claw_map(
    findings: Iterable[Found],
    actions: Iterable[Done] = (),
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
    look = Look(key=escape(key), small=small, focus=focus, pick=pick)
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


def _foot(foot: str, findings: Sequence[Found], actions: Sequence[Done], look: Look) -> str:
    own = [finding for finding in findings if finding.foot == foot]
    lesions = [finding for finding in own if finding.lesion != NO_LESION]
    placed = [finding for finding in lesions if finding.zone is not None]
    parts = [_plain_zones(foot, look), marked(foot, placed, look), unplaced(foot, lesions, look)]
    parts.append(signs(foot, [action for action in actions if action.foot == foot]))
    if own and not lesions:
        parts.append(tick(own[0]))
    if look.small:
        return "".join(parts)
    return (
        f'<text x="50" y="12" font-size="12" font-weight="bold" text-anchor="middle" '
        f'fill="currentColor">{foot}</text><g transform="translate(0 {_HEAD})">{"".join(parts)}</g>'
    )


def _plain_zones(foot: str, look: Look) -> str:
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


def _told(foot: str, claw: str, zone: int, look: Look) -> str:
    """What a zone says of itself to a script; nothing when nobody picks."""
    if not look.pick:
        return ""
    side = f' data-claw="{claw}"' if claw else ""
    return f' data-foot="{foot}"{side} data-zone="{zone}" pointer-events="all"'


def _hatching(look: Look) -> str:
    return (
        f'<defs><pattern id="{look.key}-hatch" width="4" height="4" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="1.3" height="4" fill="currentColor"/></pattern></defs>'
    )


def _in_words(findings: Sequence[Found], actions: Sequence[Done]) -> str:
    nothing = gettext("Nothing recorded")
    said = [finding_words(finding) for finding in findings]
    said += [
        f"{translated(action.kind)}: {place_words(action.foot, action.claw)}".rstrip(": ")
        for action in actions
    ]
    seen = gettext("Eight claws seen from the sole, the cow's left on the left.")
    return f"{seen} {'; '.join(said) or nothing}."
