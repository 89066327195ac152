"""numbers.toml: number words, what sounds like them, units and times."""

from grammar.lexicon.schema.rows import Strict


class TimeUnit(Strict):
    days: int = 0
    months: int = 0


class Pair(Strict):
    a: str
    b: str
    source: str


class Words(Strict):
    words: tuple[str, ...]


class Numbers(Strict):
    """numbers.toml: separate tables for identifiers and for quantities."""

    digits: dict[str, int]
    identifier_digits: dict[str, int]
    quantity_digits: dict[str, int]
    sounds: dict[str, str]
    """What sounds like a number word and means nothing else in a note -> the number word."""
    little_sounds: dict[str, str]
    """The same for little words with a meaning of their own."""
    inner_sounds: dict[str, str]
    """Words that are numbers only inside a number -> the number word."""
    endings: dict[str, str]
    """The second of two words that are one number, "nine tea" -> what it stands for, ty or teen."""
    stems: dict[str, str]
    """The first word and what the second stands for -> the number word."""
    and_sounds: Words
    """What is heard for "and" behind a hundred."""
    stage_sounds: Words
    """What is heard for the M of a stage behind digital dermatitis."""
    before_time: Words
    """What stands before an interval: "in for weeks" is in four weeks, "lame for weeks" is not."""
    run_together: dict[str, str]
    """What is heard for a number with the word before it, before a unit of time -> the words."""
    day_sounds: dict[str, str]
    """What is heard before "day" for a weekday -> the weekday."""
    paired: Words
    """What a foot has two of: "six three two claws" may be 63 with two."""
    cue_sounds: Words
    """Number words that are heard for "cow" at the start of a note."""
    foot_sounds: dict[str, str]
    """What is heard for a word of a foot behind a side -> the word."""
    all_sounds: dict[str, str]
    """What is heard for four behind "all" -> the word."""
    article_sounds: dict[str, str]
    """Articles that may be a digit beside two digits said one by one -> the number word."""
    no_sounds: dict[str, str]
    """What is heard for "no" before a lesion or a deed -> the word."""
    who_knows: Words
    """Words behind which it is meant as it stands: "you know"."""
    behind_a_sigh: Words
    """Words before which "oh" behind a whole number is a sigh."""
    behind_a_record: Words
    """Words that may stand between what a note tells and its animal's number."""
    gradings: Words
    """Words for how bad a lesion is, whose number is said behind it."""
    of_her: Words
    """Words of the cow's walk, before a bare score."""
    before_numbers: dict[str, str]
    """Two words in one, before a number."""
    counting: Words
    """Words behind which a number is a count or a time."""
    leads: Words
    """Words that lead to an animal's number in the middle of a note."""
    hesitations: Words
    teens: dict[str, int]
    tens: dict[str, int]
    scales: dict[str, int]
    repeats: dict[str, int]
    points: Words
    fractions: dict[str, tuple[int, int]]
    ordinals: dict[str, int]
    months: dict[str, int]
    weekdays: dict[str, int]
    units: dict[str, str]
    several: Words
    """Plurals behind which the numbers of several animals follow."""
    kinds: Words
    """Kinds of cattle, behind which "one" is a word for the animal."""
    tag_colours: Words
    """Colours that an animal's tag has, and a lesion too."""
    groups: Words
    """Words for a place whose own number has no three digits: "dry group nine oh three"."""
    amounts: dict[str, int]
    """Units of talk -> how many digits a number before them has: an animal's weight has three."""
    time_units: dict[str, TimeUnit]
    pairs: tuple[Pair, ...]
