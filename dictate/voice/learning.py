"""Learn a voice from recordings: trials that leave a part out, a comparison, then the voice itself.

Every stage leaves what it made in a work folder named by everything that goes into it, so that a
call that was stopped, however hard, is taken up by the next one.
"""

import datetime as dt
import hashlib
import itertools
import json
import shutil
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from dictate.decoder.model_files import ACOUSTIC, ModelFolder, open_folder
from dictate.errors import VoiceError
from dictate.voice.held_out import held_apart, write_held
from dictate.voice.how_far import Progress, Whole
from dictate.voice.job import WEED_STEPS, Job, learn_apart, write_speech
from dictate.voice.judging import Comparison, compare, hear_held, hear_with, simplest
from dictate.voice.model_folder import VoiceCard, outputs_of, outputs_tried, read_voice, write_model
from dictate.voice.needs import need_torch
from dictate.voice.recordings import LeftOut, Material, Recording, by_reason

_STEPS = 60
_PARTS = 3
_STEPS_OF_PART = 30
_HEARD_BADLY = 0.8
"""Nats a phone that a person's words cost the network before: some of its words in ten are wrong."""
_LONGER = 2.5
"""Times as many steps are worth their time then; who is heard well already gains nothing by them."""
_ENOUGH_SECONDS = 300.0
"""With so much speech that is new a fifth of it is enough to judge by, and what is judged is what is used. With
less, each of three parts is judged by a network that learnt from the two others, in half the steps."""
_COMPARING = 10
"""Steps in whose time two models hear what was kept aside."""
_FEWEST = 4
"""Recordings, under which nothing can be kept aside."""
_CODE = 6
"""Counts changes of what the stages do, so that no other program's half-done work is taken up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is learnt on top of what, and where."""

    name: str
    """Whose voice."""
    base: Path
    """Model that is taught."""
    now: Path
    """Model that this person uses now, which the new one has to beat."""
    work: Path
    """Folder for what is half done."""
    others: tuple[Path, ...] = ()
    """Other people's recordings, to hold on to."""
    today: dt.date
    steps: int = _STEPS
    gentle: bool = False
    """Let everything else on the computer go first."""
    only_better: bool = False
    """What is not better than `now` is not wanted, so what cannot be compared is not begun."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """What came of it."""

    folder: Path
    """The new model, in the work folder until it is put in its place."""
    comparison: Comparison
    recordings: int
    seconds: float
    left_out: tuple[LeftOut, ...]
    share: float


def learn(material: Material, plan: Plan, *, progress: Progress) -> Learnt:
    """Learn a voice; the old one stays in use until the caller puts the new one in its place.

    Raises:
        VoiceError: PyTorch is missing, or there is too little speech to learn from or to judge by.
    """
    need_torch()
    if len(material.own) < _FEWEST:
        what = f"{len(material.own)} recordings are too few to learn from"
        raise VoiceError(
            "; ".join([what, *map(": ".join, by_reason(material.left_out))]),
            remedy="Read at least 20 prompts aloud, or give more recordings",
        )
    new = _new_to(plan.now, material.own)
    much = sum(material.own[at].seconds for at in new) >= _ENOUGH_SECONDS
    parts = held_apart(material.own, parts=1 if much else _PARTS, among=new)
    if plan.only_better and not parts:
        raise _nothing_to_judge_by(len(material.own), len(new))
    base = open_folder(plan.base)
    place = plan.work / _key(material, plan, base)
    _forget_others(plan.work, place)
    place.mkdir(parents=True, exist_ok=True)
    speech = place / "speech.npz"
    if not speech.exists():
        write_speech(speech, material.own, material.noise)
    again = not much and bool(parts)
    trial = Job(
        base=plan.base, speech=speech, folder=place / "trial", others=plan.others,
        learn=tuple(range(len(material.own))), parts=tuple(map(tuple, parts)),
        steps=min(plan.steps, _STEPS_OF_PART) if again else plan.steps,
        outputs=outputs_tried(base), gentle=plan.gentle,
    )  # fmt: skip
    trial_steps = WEED_STEPS + trial.steps * trial.courses
    whole = Whole(progress, trial_steps + _COMPARING + plan.steps * again)
    tried = learn_apart(trial, progress=whole.part(trial_steps))
    material = material.saying(tried.said)
    judged = [[at for at in part if at not in tried.dropped] for part in parts]
    comparison, way = _judged(material, judged, plan, base, trial, place)
    whole.part(_COMPARING)(1, 1)
    aside = {*tried.dropped, *([] if again else itertools.chain(*parts))}
    learnt_from = [at for at in range(len(material.own)) if at not in aside]
    network, outputs, share = trial.written(way)[0], trial.outputs[way], tried.share
    if comparison.worse or (plan.only_better and not comparison.better):
        network, outputs, share = base.path / ACOUSTIC, outputs_of(base), 0.0
    elif again:
        steps = round(plan.steps * (_LONGER if tried.cost > _HEARD_BADLY else 1))
        whole.more(steps - plan.steps)
        final = trial.model_copy(
            update={
                "folder": place / "final", "learn": tuple(learnt_from), "parts": (),
                "steps": steps, "share": share, "outputs": (outputs,), "weed": False,
            }
        )  # fmt: skip
        learn_apart(final, progress=whole.part(steps))
        network = final.written()[0]
    seconds = sum(material.own[at].seconds for at in learnt_from)
    card = VoiceCard(
        name=plan.name, base=base.name, learnt_on=plan.today, recordings=len(learnt_from),
        seconds=round(seconds, 1), held_words=comparison.words,
        wrong_before=comparison.errors_before, wrong_after=comparison.errors_after,
        share=share, learnt_from=tuple(sorted({material.own[at].sha256 for at in learnt_from} - {""})),
    )  # fmt: skip
    folder = place / "model"
    shutil.rmtree(folder, ignore_errors=True)
    write_model(folder, base, network, voice=card, version=_version(base, plan), outputs=outputs)
    dropped = tuple(
        LeftOut(name=material.own[at].name, why="its words do not fit what is heard")
        for at in tried.dropped
    )
    return Learnt(
        folder=folder, comparison=comparison, recordings=len(learnt_from), seconds=seconds,
        left_out=(*material.left_out, *dropped), share=share,
    )  # fmt: skip


def _new_to(model: Path, own: Sequence[Recording]) -> list[int]:
    """Recordings that may judge a model: those that it has not learnt from itself."""
    voice = read_voice(model)
    known = set(voice.learnt_from) if voice else set()
    return [at for at, one in enumerate(own) if one.sha256 not in known]


def _nothing_to_judge_by(recordings: int, new: int) -> VoiceError:
    if not new:
        what = f"the voice in use has learnt all {recordings} recordings already"
    elif new < recordings:
        what = f"all but {new} of {recordings} recordings are learnt already, and {new} tell too little"
    else:
        what = f"{recordings} recordings tell too little of whether you would be heard better"
    return VoiceError(what, remedy="Read more lines aloud, or review more notes one by one")


def _version(base: ModelFolder, plan: Plan) -> str:
    version = base.card.version if base.card else ""
    return f"{version}, voice of {plan.name} {plan.today}"


def _key(material: Material, plan: Plan, base: ModelFolder) -> str:
    """A name for everything that goes into the stages."""
    parts = {
        "own": [one.key for one in material.own],
        "noise": [hashlib.sha256(one.tobytes()).hexdigest() for one in material.noise],
        "base": base.card.files if base.card else base.name,
        "now": str(plan.now),
        "steps": plan.steps,
        "code": _CODE,
    }
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()[:24]


def _forget_others(work: Path, place: Path) -> None:
    """Drop half-done work on other speech: it will not be taken up again."""
    for path in work.iterdir() if work.is_dir() else ():
        if path != place and len(path.name) == len(place.name):
            shutil.rmtree(path, ignore_errors=True)


def _judged(
    material: Material, judged: Sequence[Sequence[int]], plan: Plan, base: ModelFolder, trial: Job,
    place: Path,
) -> tuple[Comparison, int]:  # fmt: skip
    """Compare the model in use with what was learnt without each part, on that part.

    Which way of writing the outputs suits this voice is chosen on the same speech.
    """
    parts = [
        write_held(place / f"held-{number}", [material.own[at] for at in part])
        for number, part in enumerate(judged)
    ]
    everything = list(itertools.chain(*parts))
    if not everything:
        return compare([], [], []), 0

    tried = place / "tried"
    shutil.rmtree(tried, ignore_errors=True)  # of a call that was stopped: perhaps half a model
    with ThreadPoolExecutor(1) as pool:
        before = pool.submit(hear_held, plan.now, everything)
        ways = [
            [
                wrong
                for held, network in zip(parts, trial.written(way), strict=True)
                for wrong in hear_with(held, base, network, outputs, tried)
            ]
            for way, outputs in enumerate(trial.outputs)
        ]
    shutil.rmtree(tried)
    said = [one.words for one in everything]
    way = simplest(said, ways)
    machines = [one.machines for one in everything]
    return compare(said, before.result(), ways[way], machines), way
