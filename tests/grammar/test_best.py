"""Choosing among hearings of one note."""

from grammar import Roster, as_json, parse_best


def test_fewer_words_left_over_win() -> None:
    """A later hearing that is understood whole takes the place of one that is not."""
    reading = parse_best(
        [
            ["cow", "four", "twelve", "left", "hind", "outer", "sole", "zebra", "zone", "four"],
            ["cow", "four", "twelve", "left", "hind", "outer", "sole", "ulcer", "zone", "four"],
        ]
    )

    assert "sole ulcer" == as_json(reading)["entries"][0]["findings"][0]["lesion"]


def test_animal_is_never_chosen_for_being_on_the_roster() -> None:
    """A later hearing with another number stays out, even when only that one is in the herd."""
    reading = parse_best(
        [
            ["cow", "six", "nineteen", "right", "hind", "clean", "zebra"],
            ["cow", "six", "ninety", "right", "hind", "clean"],
        ],
        roster=Roster(numbers=("690",)),
    )

    (entry,) = as_json(reading)["entries"]
    assert "619" == entry["animal"]
    assert "animal-not-on-roster" in entry["marks"]


def test_no_hearing_at_all() -> None:
    """Nothing heard is an empty reading."""
    assert () == parse_best([]).entries
    assert () == parse_best([[]]).entries


def test_a_less_likely_hearing_has_to_earn_it() -> None:
    """One mark that what was said raises is no reason to go down to the sixth hearing."""
    said = "heifer nine right hind inner interdigital dermatitis right hind normal".split()
    other = "heifer nine right hind inner interdigital dermatitis right hind no more".split()

    reading = parse_best([said, said, said, said, said, other])

    assert "normal" in [word.text for word in reading.words]
