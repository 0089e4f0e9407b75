"""Workers are killed at every step, and each clip is still measured once."""

import os
import random
import signal
from collections import Counter

import pytest

from tests.service.jobs.floor import IN_THE_CHILD, KILL_POINTS, Floor

POINTS = [*KILL_POINTS, IN_THE_CHILD]


@pytest.mark.parametrize("again", ["same", "other"])
def test_at_every_step(floor: Floor, again: str) -> None:
    """Whether the dead worker starts anew under its name, or only others are left to find what it held."""
    clips = [floor.clip("sleep 0", kill=point) for point in POINTS] + [floor.clip("sleep 0") for _ in range(3)]
    slots = {"left": floor.worker("left"), "right": floor.worker("right")}
    kills = 0

    def ended() -> bool:
        nonlocal kills
        for slot, worker in slots.items():
            if not worker.is_alive():
                assert worker.exitcode == -signal.SIGKILL
                kills += 1
                slots[slot] = floor.worker(slot if again == "same" else f"{slot}-{kills}")
        return not {floor.state(clip) for clip in clips} & {"waiting", "measuring"}

    floor.until(ended, 90)
    floor.require_once(*clips)
    assert kills == len(POINTS)
    tries = Counter(floor.tries())
    # What was killed after its records were kept is not measured again where that was noted, or else in vain.
    assert all(tries[clip] == 1 for clip in clips[len(POINTS) :])
    assert all(tries[clip] <= 2 for clip in clips)
    assert not any(_lives(child) for child in floor.children())


def test_at_random(floor: Floor) -> None:
    """Two workers, killed ten times at moments that nobody chose, while they measure many clips."""
    chance = random.Random(7)
    clips = [floor.clip(f"sleep {chance.uniform(0, 0.2):.2f}") for _ in range(25)]
    workers = [floor.worker("left"), floor.worker("right")]
    for _ in range(10):
        chosen = chance.randrange(2)
        workers[chosen].join(chance.uniform(0.1, 0.8))
        workers[chosen].kill()
        workers[chosen].join()
        workers[chosen] = floor.worker(("left", "right")[chosen])
    floor.until_ended(*clips, seconds=60)
    floor.require_once(*clips)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True
