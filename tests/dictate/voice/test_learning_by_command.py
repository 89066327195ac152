"""`dictate voice learn` of the trimmer's own speech: one at a time, and it marks how far it looked."""

from typer.testing import CliRunner

from dictate.cli import voice
from dictate.voice import evening
from dictate.voice.judging import Comparison
from dictate.voice.kept import voices_folder
from dictate.voice.learning import Learnt


def _learn(monkeypatch, settings, tmp_path):
    """Learn with a stand-in for the work itself, which finds nothing better."""
    same = Comparison(words=100, errors_before=5, errors_after=5, better=False)
    learnt = Learnt(
        folder=tmp_path, comparison=same, recordings=20, seconds=60.0, left_out=(), share=1.0
    )
    plans = []

    def stand_in(_material, plan, _written):
        plans.append(plan)
        return learnt

    monkeypatch.setattr(voice, "_learnt", stand_in)
    monkeypatch.setattr("dictate.voice.needs.can_learn", lambda: True)
    done = CliRunner().invoke(voice.app, ["learn", "--by", settings.trimmer])
    return done, plans


def test_a_finished_learning_marks_the_newest_note(monkeypatch, settings, queue, tmp_path):
    """Also when nothing was better, or it would be offered again and again."""
    queue({"animal": "412"}, {"animal": "413"})

    done, plans = _learn(monkeypatch, settings, tmp_path)

    assert 0 == done.exit_code, done.output
    assert 1 == len(plans)
    assert "2" == (voices_folder(settings) / "learnt-up-to").read_text("utf-8")
    assert not evening.is_learning(settings)


def test_a_second_learning_is_refused(monkeypatch, settings, queue, tmp_path):
    """While one holds the voice, another does not begin."""
    queue({"animal": "412"})
    with evening.alone(settings, settings.trimmer):
        done, plans = _learn(monkeypatch, settings, tmp_path)

    assert "already" in str(done.exception)
    assert not plans
