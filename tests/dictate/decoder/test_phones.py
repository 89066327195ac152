"""Phone ids, places and transition ids."""

from itertools import chain

from dictate.decoder import phones
from dictate.decoder.phones import Place

# The phone set of the CMU Pronouncing Dictionary 0.7b, file cmudict-0.7b.phones (39 symbols).
CMU_PHONES = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W"
    " Y Z ZH"
).split()


def test_phones_are_those_of_the_cmu_dictionary():
    """The network's outputs are blank and the 39 phones, in alphabetical order."""
    assert list(phones.ARPABET) == CMU_PHONES
    assert phones.PDF_COUNT == 40


def test_every_phone_id_is_used_once():
    """Silence and four places of each phone fill the ids without a gap."""
    given = [phones.phone_id(symbol, place) for symbol in phones.ARPABET for place in Place]

    assert sorted([phones.SILENCE, *given]) == list(phones.all_phone_ids())


def test_transition_ids_count_up_from_one():
    """Kaldi numbers transitions in the order of phones and states, starting at 1."""
    ids = [arc.transition_id for phone in phones.all_phone_ids() for arc in phones.arcs_of(phone)]

    assert ids == list(range(1, len(ids) + 1))


def test_words_never_end_in_blank():
    """Final phones emit only themselves, so that words end where their last phone is heard."""
    for symbol in phones.ARPABET:
        for place in (Place.END, Place.SINGLETON):
            phone = phones.phone_id(symbol, place)
            assert [s.pdf for s in phones.states_of(phone)] == [phones.pdf_of(phone)]


def test_places_in_a_word():
    """A word of one phone has a singleton; longer ones begin, go on and end."""
    assert phones.phone_ids(["OW"]) == (phones.phone_id("OW", Place.SINGLETON),)
    assert phones.phone_ids(["K", "L", "AO"]) == (
        phones.phone_id("K", Place.BEGIN),
        phones.phone_id("L", Place.INTERNAL),
        phones.phone_id("AO", Place.END),
    )


def test_word_boundary_lines_name_every_phone():
    """Vosk needs the place of every phone to align words."""
    lines = [line.split() for line in phones.word_boundary_lines()]

    assert [int(phone) for phone, _ in lines] == list(phones.all_phone_ids())
    assert {kind for _, kind in lines} == {"nonword", "begin", "end", "internal", "singleton"}


def test_topologies_cover_every_phone():
    """Each phone belongs to one shape."""
    assert sorted(chain(*phones.topologies())) == list(phones.all_phone_ids())
