"""Where a measurement's time goes: seconds spent in each stage itself, not in the stages that it calls.

Clocks are put round the program's functions from outside, for one measurement in a process of its own. What a stage waits
for, such as threads that it starts, is its own time.
"""

import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import local
from typing import Any
from unittest.mock import patch

CALLS = (
    ("open and check", "vision.measure", "open_clip"),
    ("landmarks, the rest", "vision.seek", "look_through"),
    ("joints placed", "vision.track", "place"),
    ("flow", "vision.track", "follow"),
    ("which body, smoothed", "vision.track", "track"),
    ("edges of the scene", "vision.follow", "edges"),
    ("phone's motion", "vision.watch", "phone_motion"),
    ("level", "vision.level", "from_scene"),
    ("fusion", "vision.smooth", "smooth_body"),
    ("angles", "vision.watch", "read_motion"),
    ("reps and holds", "vision.reps", "find_cycles"),
    ("reps and holds", "vision.reps", "describe"),
    ("reps and holds", "vision.holds", "find_holds"),
    ("reps and holds", "vision.holds", "describe"),
)
"""Stage, module in which the function is looked up, its name there."""
DECODING, LANDMARKS, REST = "decoding", "landmarks", "start, imports and the rest"


@dataclass
class Clocks:
    """Seconds by stage; each thread has its own stack of running stages."""

    own: dict[str, float] = field(default_factory=lambda: defaultdict(float))
    running: local = field(default_factory=local)

    @contextmanager
    def stage(self, name: str) -> Iterator[None]:
        stack: list[float] = self.running.__dict__.setdefault("inner", [])
        begin = time.perf_counter()
        stack.append(0.0)
        try:
            yield
        finally:
            took, inner = time.perf_counter() - begin, stack.pop()
            self.own[name] += took - inner
            if stack:
                stack[-1] += took

    def around(self, name: str, function: Callable[..., Any]) -> Callable[..., Any]:
        def timed(*arguments: Any, **named: Any) -> Any:
            with self.stage(name):
                return function(*arguments, **named)

        return timed

    def around_frames(self, frames: Callable[..., Iterator[Any]]) -> Callable[..., Iterator[Any]]:
        """Each step of the generator takes decoding time."""

        def timed(*arguments: Any, **named: Any) -> Iterator[Any]:
            steps = iter(frames(*arguments, **named))
            while True:
                with self.stage(DECODING):
                    frame = next(steps, None)
                if frame is None:
                    return
                yield frame

        return timed

    def around_model(self, opened: Callable[..., AbstractContextManager[Any]]) -> Callable[..., Any]:
        """The landmark model: its loading and its every answer."""

        @contextmanager
        def timed(*arguments: Any, **named: Any) -> Iterator[Callable[..., Any]]:
            with self.stage(LANDMARKS):
                model = opened(*arguments, **named)
                find = model.__enter__()
            try:
                yield self.around(LANDMARKS, find)
            finally:
                model.__exit__(None, None, None)

        return timed


def stages(clip: Path, started: float) -> dict[str, float]:
    """Seconds by stage of one measurement; `started` is the `time.perf_counter()` at which the process began."""
    from importlib import import_module

    from tests.bench import accuracy, truth
    from vision.clip import Clip

    clocks = Clocks()
    with ExitStack() as stack:
        for name, module, function in CALLS:
            owner = import_module(module)
            stack.enter_context(patch.object(owner, function, clocks.around(name, getattr(owner, function))))
        stack.enter_context(patch.object(Clip, "frames", clocks.around_frames(Clip.frames)))
        looks = import_module("vision.looks")
        stack.enter_context(patch.object(looks, "landmarker", clocks.around_model(looks.landmarker)))
        read = truth.read_truth(clip)
        accuracy.measure(clip, read)
    whole = time.perf_counter() - started
    return dict(clocks.own) | {REST: whole - sum(clocks.own.values()), "clip": read.frames["time"][-1]}
