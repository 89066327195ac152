"""Published counts come out of our functions, from raw rows built to those counts."""

from collections import Counter

from dictate.entry.terms import NO_LESION
from dictate.record.cases import lesion_group
from dictate.record.prevalence import ANY_LESION, by_trim, shares

from .rowmaker import counted, finding, visit


def test_gavan_lesions_of_379_cows():
    """Gavan, lameness detection and foot lesions at hoof trimming (abstract).

    379 cows; 231 with a lesion, of these infectious 52 (22.5 %), non-infectious 179 (77.5 %);
    377 lesions, 324 on hind feet: 234 lateral (72.2 %), 50 medial (15.4 %), the rest on skin.
    """
    hind = iter(["outer"] * 234 + ["inner"] * 50 + [None] * 40)
    places = [("RH", claw) for claw in hind] + [("LF", "outer")] * 53
    rows = []
    for number, (foot, claw) in enumerate(places):
        cow = number % 231
        rows.append(finding(cow, "digital dermatitis" if cow < 52 else "sole ulcer", foot, claw))
    rows += [finding(cow, NO_LESION) for cow in range(231, 379)]

    herd = {row.lesion: row for row in counted(rows)}
    assert (herd[ANY_LESION].count, herd[ANY_LESION].out_of) == (231, 379)
    lesions = [row for row in rows if row.lesion != NO_LESION]
    group_of = {row.animal_id: lesion_group(row.lesion) for row in lesions}
    groups = {share.value: share.percent for share in shares(Counter(group_of.values()))}
    assert groups == {"infectious": "22.5", "non-infectious": "77.5"}
    on_hind = [row for row in lesions if row.foot == "RH"]
    claws = {share.value: share for share in shares(Counter(row.claw or "skin" for row in on_hind))}
    assert (claws["outer"].percent, claws["inner"].percent) == ("72.2", "15.4")
    assert claws["outer"].out_of == 324
    # The abstract prints "median 1.6" lesions a cow; the mean of its counts is 1.6, the median is not.
    assert round(len(lesions) / len(group_of), 1) == 1.6


def test_indian_study_of_215_animals():
    """Indian study (arccjournals B-5795): 197 of 215 animals with a lesion, 91.63 %."""
    rows = [finding(n, "heel horn erosion" if n < 197 else NO_LESION, "LH") for n in range(215)]
    (row,) = (row for row in counted(rows) if row.lesion == ANY_LESION)
    assert (row.count, row.out_of, row.percent) == (197, 215, "91.6")
    assert tuple(round(end, 4) for end in row.interval) == (0.8716, 0.9464)


def test_somers_and_o_grady_144_lame_cows():
    """Somers & O'Grady 2015 (Ir Vet J 68:10): of 144 cows 11.8 % front, 89.6 % hind, 6.9 % none."""
    front, hind = set(range(17)), set(range(5, 134))
    rows = [finding(n, "sole ulcer", "LF") for n in front] + [
        finding(n, "sole ulcer", "LH") for n in hind
    ]
    rows += [finding(n, NO_LESION) for n in range(134, 144)]
    assert counted(rows)[0].out_of == 144
    for cows, printed in ((front, "11.8"), (hind, "89.6"), (set(range(134, 144)), "6.9")):
        share = next(s for s in shares(Counter(n in cows for n in range(144))) if s.value is True)
        assert share.percent == printed


def test_solano_whole_herd_and_partial_trims_are_kept_apart():
    """Solano et al. 2016: 156 farms, 69 trimmed whole and 87 in part.

    Of 8,020 cows of the former 15 % had digital dermatitis, 6 % a sole ulcer, 4 % white line disease.

    Pooled with the 20,587 chosen cows the figures would be other ones.
    """
    visits = [visit(n, whole_herd=n <= 69) for n in range(1, 157)]
    whole = {"digital dermatitis": 1203, "sole ulcer": 481, "white line disease": 321}
    rows = [finding(n, NO_LESION, visit=n % 69 + 1) for n in range(8020)]
    for lesion, cows in whole.items():
        rows += [finding(n, lesion, "LH", visit=n % 69 + 1) for n in range(cows)]
    rows += [finding(10_000 + n, "sole ulcer", "LH", visit=70 + n % 87) for n in range(20_587)]
    parts = by_trim(visits)
    assert {name: len(part) for name, part in parts.items()} == {
        "whole herd": 69,
        "chosen animals": 87,
    }
    ids = {v.id for v in parts["whole herd"]}
    herd = {row.lesion: row for row in counted([row for row in rows if row.visit_id in ids])}
    assert herd[ANY_LESION].out_of == 8020
    printed = {lesion: f"{herd[lesion].count / herd[lesion].out_of:.0%}" for lesion in whole}
    assert printed == {"digital dermatitis": "15%", "sole ulcer": "6%", "white line disease": "4%"}
