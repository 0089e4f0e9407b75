"""The corpora: never mixed, and whoever lacks one is told in a line how to draw it."""

import json
from pathlib import Path

import platformdirs
import pytest

from tests.bench.corpora import TEST, TUNE, Corpus, NotDrawn, find


@pytest.fixture
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(platformdirs, "user_cache_dir", lambda _: str(tmp_path))
    return tmp_path


def test_the_corpora_are_large_enough_and_share_no_recipe() -> None:
    assert TUNE.count >= 40
    assert TEST.count >= 100
    tune, test = ({repr(r.model_copy(update={"name": "", "seed": 0})) for r in c.recipes()} for c in (TUNE, TEST))
    assert len(tune) == TUNE.count
    assert len(test) == TEST.count
    assert not tune & test
    assert TUNE.folder != TEST.folder


def test_a_corpus_that_is_not_drawn_says_how_in_one_line(own_cache: Path, tmp_path: Path) -> None:
    small = Corpus("small", seed=3, count=4)
    with pytest.raises(NotDrawn) as told:
        find(small, renderer=tmp_path / "none")
    assert "\n" not in str(told.value)
    assert f"sample_clips.corpus {small.folder} --count 4 --seed 3" in str(told.value)
    assert small.folder.is_relative_to(own_cache)


def test_what_is_there_is_found_and_what_recipes_changed_since_is_told(own_cache: Path, tmp_path: Path) -> None:
    small = Corpus("small", seed=3, count=4)
    small.folder.mkdir(parents=True)
    sample = json.loads(next(Path("sample_clips").glob("*.truth.json")).read_text(encoding="utf-8"))
    first, second, *_ = small.recipes()
    for recipe, drawn_by in ((first, first), (second, second.model_copy(update={"facing": "up"}))):
        clip = small.folder / f"{recipe.name}.mp4"
        clip.touch()
        truth = sample | {"recipe": drawn_by.model_dump(mode="json", warnings=False)}
        clip.with_name(clip.name + ".truth.json").write_text(json.dumps(truth), encoding="utf-8")
    assert [clip.stem for clip in find(small, renderer=tmp_path / "none")] == [first.name, second.name]
    assert [clip.stem for clip in find(small, first.name, tmp_path / "none")] == [first.name]
    assert len(small.missing()) == 2
    assert small.outdated() == [second.name]
    assert own_cache.exists()
