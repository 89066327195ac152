"""Words that the piece next to them gives another meaning, before any correction.

"Trimmed, back in six months" is no "trimmed back"; "fronts done" is a trim; "cut it right back" names
no right hind.  Each rule looks at one kind of piece and says what stands in its place.
"""

from collections.abc import Callable, Sequence
from collections.abc import Set as AbstractSet

from grammar.join.cracks import said_of_crack, way_of_crack
from grammar.join.hocks import SIDES_SAID, both_sides, feet_beside, hock_scored, hock_side, hocks
from grammar.join.neighbour_compared import (
    as_it_was,
    grade_of_side,
    graded,
    month_gone,
    not_so,
    nothing_of_it,
    one_of_side,
    same_size,
    stage_before,
    than_foot,
    than_then,
)
from grammar.join.neighbour_counts import (
    a_digit_unread,
    counted,
    four_claws,
    in_talk,
    interdigital,
    left_one,
    letter_behind,
    of_tag,
    on_three_legs,
    one_of_them,
    one_small,
)
from grammar.join.neighbour_deeds import (
    DO,
    MINE,
    OFF,
    ONES,
    WANTED,
    WORKS,
    another_of_kind,
    another_one,
    cut_away,
    did_feet,
    dished,
    do_later,
    feet_done,
    kept_on,
    leave_on,
    mine,
    of_business,
    put_back,
    still_good,
    the_other,
    three_feet,
    today,
    took_it_off,
    vet_says,
    wanted_doing,
    without_back,
    worked_on,
    wrapped_and_off,
)
from grammar.join.neighbour_due import (
    TO_DO,
    back_to,
    comes_for_it,
    feet_later,
    feet_spared,
    feet_to_do,
    left_feet,
    other_value,
)
from grammar.join.neighbour_feet import (
    IS,
    LIKE,
    NEAR_OFF,
    both_ends,
    end_of_both,
    foot_as_told,
    half_before,
    is_on_claw,
    let_alone,
    like_the_other,
    other_two,
    the_off,
)
from grammar.join.neighbour_grades import (
    grade_behind,
    grading,
    score_of_her,
    score_of_walk,
)
from grammar.join.neighbour_sites import (
    NOTHING_MUCH,
    behind_the,
    but_this,
    came_back,
    is_back,
    left_on_claw,
    mate,
    named_end,
    nothing_much,
    of_status,
    right_back,
    same_end,
)
from grammar.join.neighbour_states import (
    GOOD_COW,
    bad_one,
    colour_of_tag,
    dry,
    good_then_cow,
    if_not_better,
    long,
    month_due,
    next_trim,
    of_group,
    of_lesion,
    of_us,
    season_due,
    should_be_fine,
)
from grammar.join.neighbour_times import (
    again_then,
    been_done,
    done_then,
    finish_then,
    how_long_on,
    leave_until,
    not_today,
    prognosis,
    sprayed_today,
)
from grammar.join.neighbour_turns import (
    HER,
    IT,
    NAH,
    ONE,
    he_said_leave,
    it_is_on,
    lame_for,
    long_ago,
    meant_to,
    nah,
    neither,
    never_mind,
    new_one,
    no_need,
    not_her,
    oh,
    one_there,
    same_one,
    since,
    time_back,
)
from grammar.join.neighbour_undone import (
    HANG_ON,
    LEFT,
    ONLY,
    but_i_did_not,
    but_not_done,
    for_such_feet,
    hang_on,
    left_deed,
    left_off,
    no_hang_on,
    not_got,
    not_sprayed,
    not_that_foot,
    nothing_done,
    only_one,
    unwrapped,
)
from grammar.join.neighbour_worn import (
    both_of_two,
    claw_of_worn,
    farm_bath,
    loose_then_block,
    off_hers,
    that_stage,
)
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    CLAWS,
    ActionSaid,
    Again,
    AnimalSaid,
    CorrectionCue,
    Course,
    Dangling,
    Except,
    Filler,
    FollowUpSaid,
    Foot,
    HalfFoot,
    Leftover,
    LeftUndone,
    Lesion,
    Material,
    No,
    Not,
    Number,
    OtherClaw,
    OtherFeet,
    Past,
    Piece,
    Region,
    Score,
    Severity,
    Stage,
    StatusSaid,
    TimeSaid,
    Tissue,
    Undone,
)

__all__ = ["read_neighbours"]

_SOMETHING = frozenset({"something", "odd", "ish"})

Rule = Callable[[Sequence[Piece], int, Lexicon], list[Piece] | None]


def read_neighbours(pieces: Sequence[Piece], lexicon: Lexicon) -> list[Piece]:
    """Return the pieces with those changed that their neighbours tell apart."""
    result: list[Piece] = []
    for at, piece in enumerate(pieces):
        plain = type(piece) is Filler
        said = [piece]
        for rule in _OF_WORD.get(piece.heard, ()) if plain else _RULES.get(type(piece), ()):
            changed = rule(pieces, at, lexicon)
            if changed is not None:
                said = changed
                break
        if result and said and said[0].first < result[-1].last:
            result.pop()  # "left one" takes the "left" with it
        result += said
    return result


_RULES: dict[type[Piece], tuple[Rule, ...]] = {
    AnimalSaid: (letter_behind,),
    ActionSaid: (
        off_hers,
        since,
        left_off,
        unwrapped,
        another_of_kind,
        without_back,
        wrapped_and_off,
        kept_on,
        of_business,
    ),
    Again: (same_size,),
    **{kind: (both_of_two, claw_of_worn) for kind in CLAWS if kind is not OtherClaw},
    CorrectionCue: (meant_to,),
    Course: (new_one,),
    No: (no_need, no_hang_on),
    Not: (
        not_today,
        but_i_did_not,
        not_got,
        not_that_foot,
        neither,
        never_mind,
        feet_spared,
    ),
    Dangling: (long_ago, month_due),
    Except: (but_not_done, not_so),
    Foot: (
        than_foot,
        foot_as_told,
        for_such_feet,
        hock_side,
        let_alone,
        is_back,
        behind_the,
        four_claws,
        right_back,
        of_status,
    ),
    FollowUpSaid: (
        comes_for_it,
        wrapped_and_off,
        time_back,
        vet_says,
        came_back,
        put_back,
    ),
    HalfFoot: (
        than_foot,
        one_of_side,
        hock_side,
        both_ends,
        end_of_both,
        let_alone,
        same_end,
        half_before,
    ),
    Leftover: (
        oh,
        grading,
        of_tag,
        both_sides,
        do_later,
        feet_to_do,
        did_feet,
        cut_away,
        worked_on,
        said_of_crack,
        named_end,
    ),
    LeftUndone: (left_on_claw,),
    Lesion: (
        feet_beside,
        hocks,
        nothing_of_it,
        dished,
        nothing_done,
        long,
        should_be_fine,
        interdigital,
        still_good,
        way_of_crack,
    ),
    Material: (not_sprayed, farm_bath),
    OtherClaw: (bad_one, claw_of_worn),
    OtherFeet: (mate,),
    Number: (
        mine,
        graded,
        grade_of_side,
        grade_behind,
        score_of_her,
        other_two,
        other_value,
        same_one,
        three_feet,
        one_there,
        oh,
        another_one,
        in_talk,
        counted,
        left_one,
        one_small,
        one_of_them,
    ),
    Past: (than_then, he_said_leave, season_due),
    Score: (of_lesion,),
    Severity: (score_of_walk, hock_scored),
    Region: (hocks,),
    Stage: (that_stage, stage_before),
    StatusSaid: (
        finish_then,
        on_three_legs,
        loose_then_block,
        left_deed,
        left_feet,
        dry,
        of_us,
        of_group,
    ),
    Undone: (but_i_did_not, not_got, back_to, leave_on, feet_spared),
    Tissue: (colour_of_tag,),
    TimeSaid: (
        as_it_was,
        month_gone,
        not_today,
        done_then,
        prognosis,
        how_long_on,
        leave_until,
        sprayed_today,
        since,
        lame_for,
        today,
        feet_later,
        if_not_better,
        next_trim,
    ),
}

_WORD_RULES: tuple[tuple[Rule, AbstractSet[str]], ...] = (
    (hock_side, SIDES_SAID),
    (the_other, frozenset({"other"})),
    (again_then, frozenset({"again"})),
    (been_done, frozenset({"been", "was"})),
    (the_off, NEAR_OFF),
    (is_on_claw, IS),
    (like_the_other, LIKE),
    (mine, MINE | ONES),
    (one_there, ONE | IT),
    (it_is_on, frozenset({"it's", "it is"})),
    (left_deed, LEFT),
    (left_feet, LEFT),
    (feet_to_do, TO_DO),
    (hang_on, HANG_ON),
    (only_one, ONLY),
    (not_her, HER),
    (nah, NAH),
    (left_one, frozenset({"un"})),
    (another_one, ONES),
    (worked_on, WORKS),
    (wanted_doing, WANTED),
    (took_it_off, OFF),
    (but_this, frozenset({"but"})),
    (feet_done, frozenset({"done"})),
    (do_later, DO),
    (did_feet, DO),
    (nothing_much, NOTHING_MUCH),
    (a_digit_unread, _SOMETHING),
    (good_then_cow, GOOD_COW),
)
_OF_WORD: dict[str, tuple[Rule, ...]] = {
    word: tuple(rule for rule, words in _WORD_RULES if word in words)
    for _, all_words in _WORD_RULES
    for word in all_words
}
"""Rules of little words, by the word: most words have none."""
