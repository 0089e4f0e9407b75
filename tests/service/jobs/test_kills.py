"""Workers are killed at every step, and each clip is still measured once."""

import os
import random
import signal
from collections import Counter
from collections.abc import Callable

from tests.service.jobs.floor import IN_THE_CHILD, KILL_POINTS, Floor
from tests.service.servers import Postgres

POINTS = [*KILL_POINTS, IN_THE_CHILD]
UNREPEATED = ["after beginning", "before the child", "after keeping", "after the try"]
"""Where a worker dies before its child has begun, or after what it measured is kept: it is measured by one child."""


def test_at_every_step_and_started_anew(sqlite_floor: Floor) -> None:
    """A worker of the same name starts, as a supervisor has it, and resumes what it left."""
    _kill_at_every_step(sqlite_floor, lambda slot, _kills: slot)


def test_at_every_step_and_never_seen_again(floor: Floor) -> None:
    """Only others, of other names, are left to find what it held."""
    _kill_at_every_step(floor, lambda slot, kills: f"{slot}-{kills}")


def _kill_at_every_step(floor: Floor, next_name: Callable[[str, int], str]) -> None:
    clips = [floor.clip("sleep", kill=point) for point in POINTS] + [floor.clip("sleep") for _ in range(3)]
    slots = {"left": floor.worker("left"), "right": floor.worker("right")}
    kills = 0

    def ended() -> bool:
        nonlocal kills
        for slot, worker in slots.items():
            if not worker.is_alive():
                assert worker.exitcode == -signal.SIGKILL
                kills += 1
                slots[slot] = floor.worker(next_name(slot, kills))
        return not {floor.state(clip) for clip in clips} & {"waiting", "measuring"}

    floor.until(ended, 120)
    floor.require_once(*clips)
    assert kills == len(POINTS)
    tries = dict(zip(POINTS, map(Counter(floor.tries()).__getitem__, clips), strict=False))
    # What was kept before its worker died is not measured again.
    assert tries == dict.fromkeys(POINTS, 2) | dict.fromkeys(UNREPEATED, 1)
    assert all(Counter(floor.tries())[clip] == 1 for clip in clips[len(POINTS) :])
    # A child ends once it sees that its worker is gone.
    floor.until(lambda: not any(_lives(child) for child in floor.children()), 10)


def test_at_random(floor: Floor) -> None:
    """Two workers, killed six times at moments that nobody chose, while they measure many clips.

    By two at a time: a clip that three workers died of is given up, and chance may hit the same one again.
    """
    chance = random.Random(7)
    clips = []
    workers = [floor.worker("left"), floor.worker("right")]
    for _ in range(3):
        clips += [floor.clip(f"sleep {chance.uniform(0.2, 0.8):.2f}") for _ in range(6)]
        for _ in range(2):
            chosen = chance.randrange(2)
            workers[chosen].join(chance.uniform(0.3, 1.5))
            workers[chosen].kill()
            workers[chosen].join()
            workers[chosen] = floor.worker(("left", "right")[chosen])
        floor.until_ended(*clips, seconds=60)
    floor.require_once(*clips)


def test_connections_to_the_database_break(postgres_floor: Floor, postgres: Postgres) -> None:
    """All of them, five times, while two workers measure; neither dies of it."""
    floor = postgres_floor
    clips = [floor.clip("sleep 0.4") for _ in range(12)]
    workers = [floor.worker("left"), floor.worker("right")]
    floor.until(lambda: len(floor.tries()) > 1)
    for _ in range(5):
        others = (
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE backend_type = 'client backend' AND pid <> "
        )
        postgres.run(f"{others} pg_backend_pid()")
        workers[0].join(0.7)
    floor.until_ended(*clips)
    floor.require_once(*clips)
    assert all(worker.is_alive() for worker in workers)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True
