"""The model on disk: found, whole, and made ready for one context; every way it can be broken has a name."""

import json
import shutil
from pathlib import Path

import pytest

from handsfree.ears import model_folder
from handsfree.ears.model_folder import find_model, prepare_context, read_manifest, sha256, verify
from handsfree.errors import NoModel
from handsfree.nouns import Arc, Automaton

SHIPPED = Path(__file__).parents[2] / "models" / "keybed-en"
YES_OR_NO = Automaton(0, (Arc(0, 1, "yes", 0.7), Arc(0, 1, "no", 0.7)), {1: 0.0})


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(SHIPPED, tmp_path / "model"))


def test_the_shipped_model_is_whole_and_small() -> None:
    manifest = verify(SHIPPED)
    assert set(manifest.files) == {
        path.relative_to(SHIPPED).as_posix() for path in SHIPPED.rglob("*") if path.name != "manifest.json"
        and path.is_file()
    }  # fmt: skip
    assert sum(path.stat().st_size for path in SHIPPED.rglob("*") if path.is_file()) < 12e6
    assert all(corpus.licence for corpus in manifest.corpora)


@pytest.mark.parametrize("name", ["am/final.mdl", "graph/HCLr.fst", "graph/words.txt", "conf/fbank.conf"])
def test_a_missing_file_is_named(copy: Path, name: str) -> None:
    (copy / name).unlink()
    with pytest.raises(NoModel, match=f"{name} is missing"):
        verify(copy)


@pytest.mark.parametrize("name", ["am/final.mdl", "graph/HCLr.fst", "conf/model.conf"])
def test_one_altered_bit_is_found_and_the_file_named(copy: Path, name: str) -> None:
    content = bytearray((copy / name).read_bytes())
    content[len(content) // 2] ^= 1
    (copy / name).write_bytes(content)
    with pytest.raises(NoModel, match=f"{name} was altered"):
        verify(copy)


def test_no_manifest_or_a_wrong_one_is_named(copy: Path) -> None:
    path = copy / "manifest.json"
    content = json.loads(path.read_text())
    path.write_text(json.dumps({**content, "version": 1}))
    with pytest.raises(NoModel, match=r"manifest\.json is not a model's manifest \(version"):
        read_manifest(copy)
    path.write_text("{")
    with pytest.raises(NoModel, match=r"manifest\.json is not"):
        read_manifest(copy)
    path.write_bytes(b"\xff\xfe\x00 no text at all")
    with pytest.raises(NoModel, match=r"manifest\.json is not a model's manifest \(Invalid JSON"):
        read_manifest(copy)
    path.unlink()
    with pytest.raises(NoModel, match=r"lacks manifest\.json"):
        read_manifest(copy)


def test_a_setting_comes_before_the_environment_and_both_before_the_shipped_model(
    copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("HANDSFREE_MODEL", raising=False)
    assert find_model() in (model_folder.PACKAGED, SHIPPED)
    monkeypatch.setenv("HANDSFREE_MODEL", str(copy))
    assert find_model() == copy
    assert find_model(SHIPPED) == SHIPPED
    with pytest.raises(NoModel, match="there is no model folder"):
        find_model(tmp_path / "nowhere")
    (copy / "graph" / "HCLr.fst").unlink()
    with pytest.raises(NoModel, match=r"lacks graph/HCLr\.fst"):
        find_model()


def test_an_installation_without_a_model_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HANDSFREE_MODEL", raising=False)
    monkeypatch.setattr(model_folder, "PACKAGED", tmp_path / "a")
    monkeypatch.setattr(model_folder, "IN_REPOSITORY", tmp_path / "b")
    with pytest.raises(NoModel, match="without its model"):
        find_model()


@pytest.mark.parametrize("links", [True, False])
def test_a_context_shares_the_model_and_has_its_own_grammar(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    if not links:

        def refuse(self: Path, target: Path, target_is_directory: bool = False) -> None:
            raise OSError("no links here")

        monkeypatch.setattr(Path, "symlink_to", refuse)
    folder = prepare_context(SHIPPED, YES_OR_NO, tmp_path / "answer")
    assert (folder / "am").is_symlink() is links
    assert sha256(folder / "am" / "final.mdl") == sha256(SHIPPED / "am" / "final.mdl")
    assert sha256(folder / "graph" / "HCLr.fst") == sha256(SHIPPED / "graph" / "HCLr.fst")
    first = (folder / "graph" / "Gr.fst").read_bytes()
    assert first != (SHIPPED / "graph" / "Gr.fst").read_bytes()
    again = prepare_context(SHIPPED, Automaton(0, YES_OR_NO.arcs[:1], {1: 0.0}), folder)
    assert len((again / "graph" / "Gr.fst").read_bytes()) < len(first)
    assert not (again / "graph" / "Gr.fst.new").exists()


def test_the_recogniser_loads_a_context_and_hears_nothing_in_silence(tmp_path: Path) -> None:
    vosk = pytest.importorskip("vosk")
    vosk.SetLogLevel(-1)
    model = vosk.Model(str(prepare_context(SHIPPED, YES_OR_NO, tmp_path / "answer")))
    decoder = vosk.KaldiRecognizer(model, 16000)
    decoder.AcceptWaveform(bytes(2 * 16000))
    assert json.loads(decoder.FinalResult())["text"] == ""
