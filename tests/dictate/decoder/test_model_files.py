"""Model folders: looked at before Vosk does."""

import pytest

from dictate.decoder.model_files import open_folder, write_card
from dictate.errors import ModelError


def model_in(folder, *, graph="graph/HCLG.fst"):
    for name in ("am/final.mdl", "conf/mfcc.conf", "graph/words.txt", graph):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(name)
    (folder / "graph/words.txt").write_text("<eps> 0\ncow 1\n[unk] 2\n#0 3\n")
    return folder


def carded(folder):
    write_card(
        model_in(folder), name="chute", version="1", lexicon="abc", weights={"language": 1.5}
    )
    return folder


def test_a_card_names_the_model(tmp_path):
    """Name and version go into every note."""
    folder = open_folder(carded(tmp_path))

    assert folder.name == "chute 1"
    assert folder.card.weights == {"language": 1.5}
    assert folder.words() == ("cow", "[unk]")


def test_models_from_elsewhere_have_no_card(tmp_path):
    """Any Vosk model can be used; its folder names it."""
    folder = open_folder(model_in(tmp_path / "vosk-model-x"))

    assert (folder.card, folder.name) == (None, "vosk-model-x")
    assert not folder.takes_herd


def test_an_altered_file_is_noticed(tmp_path):
    """A checksum that differs stops the model from being used."""
    (carded(tmp_path) / "am/final.mdl").write_text("other")

    with pytest.raises(ModelError, match=r"missing or altered: am/final\.mdl"):
        open_folder(tmp_path)


def test_a_folder_without_graph_is_no_model(tmp_path):
    """What is missing is named."""
    (model_in(tmp_path) / "graph/HCLG.fst").unlink()

    with pytest.raises(ModelError, match=r"not a Vosk model: graph/HCLG\.fst missing"):
        open_folder(tmp_path)
    with pytest.raises(ModelError, match="no such folder"):
        open_folder(tmp_path / "nowhere")


def test_only_models_with_both_halves_take_words_at_run_time(tmp_path):
    """As Vosk does: HCLr, Gr and the list of labels, and no static graph beside them."""
    model_in(tmp_path, graph="graph/HCLr.fst")
    for name in ("Gr.fst", "disambig_tid.int"):
        (tmp_path / "graph" / name).touch()
    assert open_folder(tmp_path).takes_grammar

    (tmp_path / "graph/HCLG.fst").touch()

    assert not open_folder(tmp_path).takes_grammar


def test_a_card_with_faults_is_refused(tmp_path):
    """An unknown key is an error, not passed over."""
    carded(tmp_path)
    with (tmp_path / "model.toml").open("a") as card:
        card.write("\nnonsense = 1\n")

    with pytest.raises(ModelError, match="cannot be read"):
        open_folder(tmp_path)
