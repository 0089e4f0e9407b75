"""What each clip is taken for when nobody says which movement it shows."""

from collections.abc import Sequence
from pathlib import Path

from rich.table import Table

from models.errors import AthleteError, MovementError
from models.movements import load_movement
from models.quantity import Frozen
from tests.bench.cache import cached, program_state
from tests.bench.tracks import followed_once
from tests.bench.truth import read_truth
from vision.measure import measure


class Taken(Frozen):
    """One clip: what it shows, what it was measured as, or the line that asked for more."""

    clip: str
    shows: str
    taken_for: str | None
    asked: str

    @property
    def right(self) -> bool:
        """Whether it was taken for what it shows, or for a movement that no view tells from it."""
        same = (self.shows, load_movement(self.shows).looks_like)
        return self.taken_for is not None and self.taken_for in same


def taken(clip: Path) -> Taken:
    """Measure a clip without saying what it shows; kept by the state of the program."""
    shows = read_truth(clip).movement

    def text() -> str:
        with followed_once():
            return _measured(clip, shows).model_dump_json()

    return Taken.model_validate_json(cached(clip, program_state("vision", "models") + "recognition", text))


def _measured(clip: Path, shows: str) -> Taken:
    try:
        return Taken(clip=clip.stem, shows=shows, taken_for=measure(clip, None).movement.name, asked="")
    except (AthleteError, MovementError) as reason:
        return Taken(clip=clip.stem, shows=shows, taken_for=None, asked=str(reason))


def show(taken: Sequence[Taken]) -> Table:
    """A line for each movement, and each clip that was not taken rightly in words."""
    title = "recognised when nobody says what the clip shows"
    table = Table("movement", "clips", "right", "asked", "wrong", "not taken rightly", title=title)
    for name in [*sorted({each.shows for each in taken}), None]:
        own = [each for each in taken if name in (None, each.shows)]
        asked = [each for each in own if each.taken_for is None]
        wrong = [each for each in own if each.taken_for is not None and not each.right]
        words = [f"{each.clip}: {each.taken_for or each.asked}" for each in (*asked, *wrong)] if name else []
        counts = (len(own), sum(each.right for each in own), len(asked), len(wrong))
        table.add_row(name or "all", *map(str, counts), "\n".join(words))
    return table
