"""Tell whether one model hears a person better than another, by more than chance.

Judged is how many words are likely to be wrong: the mean over everything that a sound may have
been, by the chances that the recogniser gives. A word that nearly went wrong counts a little, so
that little speech says more than the words that were wrong in the first hearing alone. Words are
compared by their sounds: "offside" is "off side", "fore" is "four".  A voice is learnt from sound;
which of two spellings is written, the language model decides.
"""

import itertools
import multiprocessing
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from rapidfuzz.distance import Levenshtein

from dictate.decoder.model_files import ModelFolder, Outputs, open_folder
from dictate.voice.held_out import Held
from dictate.voice.model_folder import write_model
from dictate.voice.sounds import sounds_of

_CHANCE = 0.05
_DRAWS = 4000
_RARE = 0.002
"""Hearings less likely than this say nothing."""

Hearings = Sequence[Sequence[tuple[tuple[str, ...], float]]]
"""For each stretch of speech what it may have been, with chances; what was heard comes first."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """Wrong words of one sound."""

    heard: int
    """In what was heard."""
    likely: float
    """On average over everything that it may have been."""


def wrong_of(said: Sequence[str], hearings: Hearings) -> Wrong:
    """Count the wrong words of one sound."""
    best = [stretch[0][0] for stretch in hearings]
    heard = wrong_words(said, [word for words in best for word in words])
    likely = float(heard)
    for at, stretch in enumerate(hearings):
        before = [word for words in best[:at] for word in words]
        after = [word for words in best[at + 1 :] for word in words]
        some = [(words, chance) for words, chance in stretch if chance >= _RARE]
        mean = sum(
            wrong_words(said, [*before, *words, *after]) * chance for words, chance in some
        ) / sum(chance for _, chance in some)
        likely += mean - heard
    return Wrong(heard, likely)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two models on the same speech that the new one had not learnt from, also under machines."""

    words: int
    errors_before: int
    errors_after: int
    better: bool
    """By more than chance, and not a word more is wrong."""
    worse: bool = False
    """More words are wrong, in all or in what was heard as it was recorded."""

    @property
    def before(self) -> float:
        """Wrong words of 100."""
        return 100 * self.errors_before / max(self.words, 1)

    @property
    def after(self) -> float:
        return 100 * self.errors_after / max(self.words, 1)


def compare(
    said: Sequence[Sequence[str]], before: Sequence[Wrong], after: Sequence[Wrong],
    machines: Sequence[bool] = (),
) -> Comparison:  # fmt: skip
    """Compare what two models made of the same sounds; `machines` says which are under machines.

    Approximate randomisation: were both alike, each prompt's gain might as well be a loss, so the
    gains' signs are drawn anew; better is what hardly any draw reaches (Noreen 1989, "Computer
    intensive methods for testing hypotheses"; Riezler and Maxwell 2005). All sounds of the same
    words share a sign: a recording under machines is no second witness.
    """
    gains = _gains(said, before, after)
    signs = np.random.default_rng(0).choice([-1.0, 1.0], size=(_DRAWS, len(gains)))
    as_good = float((signs @ gains >= gains.sum() - 1e-9).mean())
    more = [now.heard - was.heard for was, now in zip(before, after, strict=True)]
    loud = machines or [True] * len(more)
    worse = sum(more) > 0 or sum(n for n, under in zip(more, loud, strict=True) if not under) > 0
    old, new = (sum(one.heard for one in some) for some in (before, after))
    return Comparison(
        words=sum(map(len, said)), errors_before=old, errors_after=new,
        better=as_good <= _CHANCE and not worse, worse=worse,
    )  # fmt: skip


def simplest(said: Sequence[Sequence[str]], ways: Sequence[Sequence[Wrong]]) -> int:
    """Which of several ways to hear, the first being the simplest: a later one only when it gains.

    That is by more than the standard error of the gain, with one prompt as one witness (after the
    one-standard-error rule of Breiman et al. 1984, "Classification and regression trees").
    """
    chosen = 0
    for at in range(1, len(ways)):
        gains = _gains(said, ways[chosen], ways[at])
        if len(gains) > 1 and gains.sum() > gains.std(ddof=1) * len(gains) ** 0.5 + 1e-9:
            chosen = at
    return chosen


def _gains(
    said: Sequence[Sequence[str]], before: Sequence[Wrong], after: Sequence[Wrong]
) -> np.ndarray:
    """What each prompt gains, in words that are likely to be wrong."""
    prompts = {words: at for at, words in enumerate(dict.fromkeys(map(tuple, said)))}
    gains = np.zeros(len(prompts))
    for words, was, now in zip(said, before, after, strict=True):
        gains[prompts[tuple(words)]] += was.likely - now.likely
    return gains


def hear_held(model: Path, held: Sequence[Held]) -> list[Wrong]:
    """Hear sounds with a model in a process of its own, and count what is wrong.

    Vosk takes its process down with it over one noisy sound in some thousands ("topological sorting
    of state-level lattice failed"); of that sound nothing is heard.
    """
    spawn = multiprocessing.get_context("spawn")
    try:
        with ProcessPoolExecutor(1, mp_context=spawn) as pool:
            return pool.submit(_hear, model, held).result()
    except BrokenProcessPool:
        if len(held) == 1:
            return [wrong_of(held[0].words, [])]
        half = len(held) // 2
        return hear_held(model, held[:half]) + hear_held(model, held[half:])


def hear_with(
    held: Sequence[Held], base: ModelFolder, network: Path, outputs: Outputs, model: Path
) -> list[Wrong]:
    """Hear sounds with a network, in a model folder that the next network is put into as well."""
    write_model(model, base, network, voice=None, version="trial", outputs=outputs)
    return hear_held(model, held)


def _hear(model: Path, held: Sequence[Held]) -> list[Wrong]:
    from dictate.hearing.vosk_engine import VoskEngine  # noqa: PLC0415 (slow to load)
    from dictate.sound import read_sound  # noqa: PLC0415

    engine = VoskEngine(open_folder(model))
    return [wrong_of(one.words, engine.hearings(read_sound(one.path))) for one in held]


def wrong_words(said: Sequence[str], heard: Sequence[str]) -> int:
    """How many words were heard as what sounds otherwise, and how many were made up between them.

    The sounds of both are aligned; a word of which a sound was lost, changed or broken up is wrong.
    """
    spoken, taken = _sounds(said), _sounds(heard)
    ends = list(itertools.accumulate(map(len, spoken)))
    word_of = [at for at, sounds in enumerate(spoken) for _ in sounds]
    wrong: set[int] = set()
    between: set[int] = set()
    steps = Levenshtein.editops(list(itertools.chain(*spoken)), list(itertools.chain(*taken)))
    for step in steps:
        if step.tag == "insert" and (step.src_pos == 0 or step.src_pos in ends):
            between.add(step.src_pos)
        else:
            wrong.add(word_of[step.src_pos])
    beside = {ends[at] for at in wrong} | {ends[at] - len(spoken[at]) for at in wrong}
    return len(wrong) + len(between - beside)


def _sounds(words: Sequence[str]) -> list[tuple[object, ...]]:
    """The sounds of each word in its first pronunciation; a word that has none is one of its own."""
    sounded, _ = sounds_of(words)
    return [ways[0] if ways else (word,) for word, ways in zip(words, sounded, strict=True)]
