"""The claw map of a sheet's line: four feet side by side, put together from shapes that stand once in the page.

A sheet of four hundred animals holds some thousand marks. What each stands for is said in words in the
cell beside the map, so here a mark is only its place. For the drawing itself see `claw_map`.
"""

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from dictate.entry.terms import FEET, NO_LESION
from dictate.record.rows import ActionRow, FindingRow
from dictate.sheets import claw_drawing as drawing
from dictate.texts import gettext

_STEP = drawing.WIDTH + 8
_SIZE = f"0 0 {len(FEET) * _STEP - 8} {drawing.HEIGHT + 10}"
_CENTRES = {"L": 24, "R": 76, "": 50}
"""Of the left claw, the right one and the foot, for what stands on or under them."""


def line_shapes() -> str:
    """Every shape that a line's map names, once for a page; the sheet's style gives lines and black."""
    outline = drawing.claw()
    foot = f"{outline}{drawing.mirror(outline)}"
    feet = "".join(
        f'<g transform="translate({at * _STEP} 0)">{foot}</g>' for at in range(len(FEET))
    )
    marks = []
    for zone, *_ in drawing.labels():
        left = drawing.zone(zone)
        if zone in drawing.BETWEEN:
            marks.append(f'<g id="Z{zone}">{left}</g>')
            continue
        both = f"{left}{drawing.mirror(left)}"
        marks += [f'<g id="L{zone}">{left}</g>', f'<g id="R{zone}">{drawing.mirror(left)}</g>']
        # The claw was not said: both are marked, with a dashed edge because one may be meant.
        marks.append(f'<g id="Z{zone}" fill="url(#hatch)" stroke-dasharray="4 3">{both}</g>')
    signs = [
        f'<text id="{side}ask" x="{x}" y="66" font-size="44" font-weight="bold" text-anchor="middle" '
        f'stroke="none">?</text><rect id="{side}block" x="{x - 14}" y="105" width="28" height="7" '
        f'stroke="none"/><ellipse id="{side}wrap" cx="{x}" cy="108.5" rx="13" ry="4" fill="none" '
        f'stroke-width="2"/>'
        for side, x in _CENTRES.items()
    ]
    return (
        '<svg width="0" height="0" aria-hidden="true"><defs><pattern id="hatch" width="4" height="4" '
        'patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="1.3" height="4" '
        f'stroke="none"/></pattern><g id="feet" fill="none">{feet}</g>{"".join(marks)}{"".join(signs)}'
        '<path id="clean" d="M37 52 l9 12 l17 -32" fill="none" stroke-width="5"/></defs></svg>'
    )


def line_map(findings: Sequence[FindingRow], actions: Sequence[ActionRow], *, title: str) -> str:
    """One `<svg>` of the marks of an animal; `title` names it for those who do not see the map."""
    feet = []
    for at, foot in enumerate(FEET):
        names = dict.fromkeys(
            _marks(
                foot,
                [one for one in findings if one.foot == foot],
                [one for one in actions if one.foot == foot],
            )
        )
        if names:
            uses = "".join(f'<use href="#{name}"/>' for name in names)
            feet.append(f'<g transform="translate({at * _STEP})">{uses}</g>' if at else uses)
    named = escape(gettext("Claw map of %(animal)s", animal=title))
    return (
        f'<svg class="claw-map" role="img" viewBox="{_SIZE}" aria-label="{named}">'
        f'<use href="#feet"/>{"".join(feet)}</svg>'
    )


def _marks(
    foot: str, findings: Iterable[FindingRow], actions: Iterable[ActionRow]
) -> Iterator[str]:
    """The names of a foot's shapes: zones, question marks for those not said, signs, or a tick."""
    found = list(findings)
    for one in found:
        if one.lesion != NO_LESION:
            side = _side(foot, one.claw)
            if one.zone is None:
                yield f"{side}ask"
            else:
                yield f"{'Z' if one.zone in drawing.BETWEEN else side or 'Z'}{one.zone}"
    for done in actions:
        if done.kind == "block":
            for claw in (done.claw,) if done.claw else ("outer", "inner"):
                yield f"{_side(foot, claw)}block"
        elif done.kind == "wrap":
            yield f"{_side(foot, done.claw)}wrap"
    if found and all(one.lesion == NO_LESION for one in found):
        yield "clean"


def _side(foot: str, claw: str | None) -> str:
    """The letter of the side that a claw is on; empty for no claw."""
    if claw not in {"outer", "inner"}:
        return ""
    return "L" if drawing.is_left(foot, claw) else "R"
