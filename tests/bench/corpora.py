"""The two corpora of drawn clips: one to look at while choosing settings, one that is only ever measured.

They are drawn from seeded recipes into the user's cache folder, each into a folder of its own, and are never mixed:
every figure belongs to one of them.
"""

import shlex
import subprocess
from dataclasses import dataclass
from pathlib import Path

import platformdirs

from sample_clips.corpus import corpus
from sample_clips.recipe import Recipe
from tests.bench.cache import ROOT
from tests.bench.truth import read_truth, truth_path

RENDERER = ROOT / ".venv-render" / "bin" / "python"
"""`make .venv-render/installed` makes it; drawing needs torch, which the other environment does without."""


class NotDrawn(Exception):
    """A corpus has no clip yet; the message is one line that says how to draw it."""


@dataclass(frozen=True)
class Corpus:
    """So many recipes from one seed."""

    name: str
    seed: int
    count: int

    @property
    def folder(self) -> Path:
        return Path(platformdirs.user_cache_dir("plumbrep")) / "corpora" / f"{self.name}-{self.seed}"

    def recipes(self) -> tuple[Recipe, ...]:
        return corpus(self.count, self.seed)

    def missing(self, only: str = "") -> list[str]:
        """Names of the clips that are not drawn yet, among those whose name contains `only`."""
        return [r.name for r in self.recipes() if only in r.name and not truth_path(self._clip(r)).exists()]

    def clips(self, only: str = "") -> list[Path]:
        """The clips that are there, in the order of the recipes."""
        return [self._clip(r) for r in self.recipes() if only in r.name and truth_path(self._clip(r)).exists()]

    def outdated(self) -> list[str]:
        """Names of the clips that the recipe of today would draw otherwise."""
        recipes = {self._clip(recipe): recipe.model_dump(mode="json") for recipe in self.recipes()}
        return [clip.stem for clip in self.clips() if read_truth(clip).recipe != recipes[clip]]

    def drawing(self, renderer: Path, only: str = "") -> list[str]:
        """The command that draws what is missing."""
        what = ["-m", "sample_clips.corpus", str(self.folder), "--count", str(self.count), "--seed", str(self.seed)]
        return [str(renderer), *what, *(["--only", only] if only else [])]

    def _clip(self, recipe: Recipe) -> Path:
        return self.folder / f"{recipe.name}.mp4"


TUNE = Corpus("tune", seed=20261203, count=150)
TEST = Corpus("test", seed=20261205, count=150)
CORPORA = {corpus.name: corpus for corpus in (TUNE, TEST)}


def find(corpus: Corpus, only: str = "", renderer: Path = RENDERER) -> list[Path]:
    """The clips of a corpus; what is missing is drawn if a renderer is installed.

    Raises:
        NotDrawn: there is no clip, and no renderer to draw one.
    """
    if corpus.missing(only) and renderer.exists():
        subprocess.run(corpus.drawing(renderer, only), cwd=ROOT, check=True)
    clips = corpus.clips(only)
    if not clips:
        raise NotDrawn(
            f"the corpus {corpus.name} is not drawn: `make .venv-render/installed`, then "
            f"`{shlex.join(corpus.drawing(RENDERER.relative_to(ROOT)))}` (hours on two cores), or say --clips FOLDER"
        )
    return clips
