"""The claw map of a sheet's line: each mark at its foot and side, by shapes that stand in the page."""

import re
from xml.etree import ElementTree as ET

import pytest

from dictate.entry.values import ActionValues, FindingValues
from dictate.sheets.line_map import line_map, line_shapes

FEET_AT = {"LF": None, "RF": "translate(108)", "LH": "translate(216)", "RH": "translate(324)"}


def found(foot, claw=None, zone=None, lesion="sole ulcer"):
    return FindingValues(foot=foot, claw=claw, zone=zone, lesion=lesion)


def marks(findings, actions=()):
    """Each mark as where its foot stands and the name of its shape."""
    svg = ET.fromstring(line_map(findings, actions, title="412"))
    assert svg.find("use").get("href") == "#feet"
    own = [(None, use.get("href")[1:]) for use in svg.findall("use")[1:]]
    return own + [
        (group.get("transform"), use.get("href")[1:])
        for group in svg.findall("g")
        for use in group.findall("use")
    ]


@pytest.mark.parametrize("foot", FEET_AT)
@pytest.mark.parametrize("claw", ["outer", "inner"])
@pytest.mark.parametrize("zone", range(13))
def test_each_place_is_marked_once_on_its_own_side(foot, claw, zone):
    """The outer claw of a left foot is on the left, of a right foot on the right (lateral = away from the cow)."""
    side = "Z" if zone in (0, 10) else "L" if (foot[0] == "L") == (claw == "outer") else "R"
    assert marks([found(foot, claw, zone)]) == [(FEET_AT[foot], f"{side}{zone}")]


def test_what_was_not_said_is_shown_as_not_said():
    """A zone of both claws dashed, a question mark on the claw or between the claws."""
    assert marks([found("LH", None, 6)]) == [(FEET_AT["LH"], "Z6")]
    assert marks([found("RH", "outer")]) == [(FEET_AT["RH"], "Rask")]
    assert marks([found("RH")]) == [(FEET_AT["RH"], "ask")]
    assert re.search(r'id="Z6"[^>]*stroke-dasharray', line_shapes())


def test_clean_feet_blocks_and_wraps():
    done = [
        ActionValues(kind="block", foot="LH", claw="inner"),
        ActionValues(kind="block", foot="RF"),
        ActionValues(kind="wrap", foot="RH"),
        ActionValues(kind="functional trim", foot="RH"),
    ]
    assert marks([found("LF", lesion="no lesion"), found("RH", None, 0)], done) == [
        (None, "clean"),
        (FEET_AT["RF"], "Rblock"),
        (FEET_AT["RF"], "Lblock"),
        (FEET_AT["LH"], "Rblock"),
        (FEET_AT["RH"], "Z0"),
        (FEET_AT["RH"], "wrap"),
    ]


def test_every_shape_that_can_be_named_stands_in_the_page():
    """Once each, drawn from the same zones as the large map; a name is escaped."""
    named = {
        name
        for foot in FEET_AT
        for claw in ("outer", "inner", None)
        for zone in (None, *range(13))
        for _, name in marks(
            [found(foot, claw, zone)],
            [ActionValues(kind=kind, foot=foot, claw=claw) for kind in ("block", "wrap")],
        )
    }
    ids = [one.get("id") for one in ET.fromstring(line_shapes()).iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    assert named | {"clean", "feet"} <= set(ids)
    assert "&lt;b&gt;" in line_map([], [], title="<b>")
