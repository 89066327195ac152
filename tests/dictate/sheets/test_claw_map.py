"""The claw map: right place, readable in black and white, open to screen readers."""

import re
import tomllib
from collections import Counter
from importlib.resources import files
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from dictate.entry.values import ActionValues, FindingValues
from dictate.sheets.claw_map import claw_map

SVG = "{http://www.w3.org/2000/svg}"
FEET_AT = {"LF": 0, "RF": 1, "LH": 2, "RH": 3}


def found(foot, claw=None, zone=None, lesion="sole ulcer"):
    return FindingValues(foot=foot, claw=claw, zone=zone, lesion=lesion)


def marks(svg):
    """Each mark as foot index, titles, and how many mirrored and plain shapes it has."""
    root = ET.fromstring(svg)
    for at, foot in enumerate(root.findall(f"{SVG}g")):
        for group in foot.iter(f"{SVG}g"):
            if group.get("class") == "found":
                mirrored = any("scale(-1" in g.get("transform", "") for g in group.iter(f"{SVG}g"))
                yield (
                    at,
                    group.find(f"{SVG}title").text,
                    mirrored,
                    len(list(group.iter(f"{SVG}path"))),
                )


@pytest.mark.parametrize("foot", FEET_AT)
@pytest.mark.parametrize("claw", ["outer", "inner"])
@pytest.mark.parametrize("zone", range(13))
def test_each_place_is_marked_once_on_its_own_side(foot, claw, zone):
    """The outer claw of a left foot is on the left, of a right foot on the right (lateral = away from the cow)."""
    ((at, words, mirrored, shapes),) = marks(claw_map([found(foot, claw, zone)], title="412"))
    assert at == FEET_AT[foot]
    assert shapes == 1
    if zone not in (0, 10):
        assert mirrored == ((foot[0] == "L") != (claw == "outer"))
    assert f"zone {zone}:" in words


def test_a_finding_without_a_claw_marks_both_dashed():
    ((_, _, mirrored, shapes),) = marks(svg := claw_map([found("LH", None, 6)], title="412"))
    assert (mirrored, shapes) == (True, 2)
    assert "stroke-dasharray" in svg


@pytest.mark.parametrize("small", [False, True])
@pytest.mark.parametrize(("foot", "claw", "at"), [
    ("LH", "outer", 25), ("LH", "inner", 75), ("RH", "outer", 75), ("RH", "inner", 25), ("RF", None, 50),
])  # fmt: skip
def test_an_unsaid_zone_marks_nothing_on_the_sole(small, foot, claw, at):
    """A question mark stands on the claw, or between the claws when no claw was said either."""
    lesion = "digital dermatitis"
    svg = claw_map([found(foot, claw, lesion=lesion)], title="412", small=small)
    ((which, words, _, shapes),) = marks(svg)
    assert (which, shapes) == (FEET_AT[foot], 0)
    assert "url(" not in svg.partition("</defs>")[2]
    assert words.endswith("zone not said: digital dermatitis")
    (sign,) = (text for text in ET.fromstring(svg).iter(f"{SVG}text") if text.text == "?")
    assert float(sign.get("x")) == at


def test_two_lesions_of_one_zone_share_a_mark_that_names_both():
    svg = claw_map([found("LH", "outer", 4), found("LH", "outer", 4, "double sole")], title="412")
    ((_, words, _, _),) = marks(svg)
    assert words.count("zone 4") == 2
    assert "double sole" in words


def test_a_clean_foot_is_ticked_and_marks_nothing():
    svg = claw_map([found("LH", lesion="no lesion")], title="412")
    assert not list(marks(svg))
    assert "left hind: no lesion" in svg


def test_blocks_and_wraps_have_signs():
    actions = [
        ActionValues(kind="block", foot="LH", claw="inner"),
        ActionValues(kind="wrap", foot="RH"),
    ]
    svg = claw_map([], actions, title="412")
    assert "<title>block</title>" in svg
    assert "<title>wrap</title>" in svg
    assert "block: left hind inner; wrap: right hind." in svg


@pytest.mark.parametrize("small", [False, True])
def test_it_is_safe_to_embed(small):
    """No style sheet, script, colour or foreign address; text is escaped; ids bear the key."""
    svg = claw_map(
        [found("LH", "outer", 4)], title="<script>& Co", key="animal-7", small=small, focus=True
    )
    root = ET.fromstring(svg)
    assert root.find(f"{SVG}title").text == "<script>& Co"
    assert not re.search(r"<script|<style|style=|href|#[0-9a-f]{3,6}[\"']", svg)
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) <= {
        "none",
        "currentColor",
        "Canvas",
        "url(#animal-7-hatch)",
    }
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name.startswith("animal-7-") for name in ids)
    assert 'tabindex="0"' in svg


def test_all_thirteen_zones_are_numbered():
    root = ET.fromstring(claw_map([], title="412"))
    foot = root.find(f"{SVG}g")
    assert {t.text for t in foot.iter(f"{SVG}text")} == {"LF", *map(str, range(13))}


def test_the_zones_tile_the_claw():
    """Every border lies between two zones and is run once either way, or once on the outline."""
    data = tomllib.loads((files("dictate.sheets") / "claw_map.toml").read_text("utf-8"))
    outline = set(data["claw_outline"]["edges"])
    inside = [name for zone, names in data["claw"].items() if zone != "9" for name in names]
    times = Counter(name.removeprefix("-") for name in inside)
    assert {name for name, count in times.items() if count == 1} == outline
    assert set(times.values()) == {1, 2}
    for names in data["claw"].values():
        ends = [data["edge"][n.removeprefix("-")][:: -1 if n[0] == "-" else 1] for n in names]
        assert all(one[-1] == other[0] for one, other in pairwise([*ends, ends[0]]))


@pytest.mark.parametrize("zone", [*range(1, 9), 11, 12])
def test_each_number_stands_in_its_own_zone(zone):
    """The label of a zone lies inside its own border and in no other (even-odd rule)."""
    data = tomllib.loads((files("dictate.sheets") / "claw_map.toml").read_text("utf-8"))
    x, y, _ = data["label"][str(zone)]
    holding = [
        int(name)
        for name, names in data["claw"].items()
        if inside(x, y, [p for n in names for p in data["edge"][n.removeprefix("-")][:: -1 if n[0] == "-" else 1]])
    ]  # fmt: skip
    assert holding == [zone]


def inside(x, y, points):
    crossed = [
        (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1
        for (x1, y1), (x2, y2) in pairwise([*points, points[0]])
    ]
    return sum(crossed) % 2 == 1
