"""Two things at the same time: worth it where they let go of the interpreter, as video codecs and OpenCV do."""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Final, TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")

THREADS: Final = 2
"""Items worked on at the same time; more would hold more of them in memory."""


def ahead(items: Iterator[Item]) -> Iterator[Item]:
    """The same items, the next of which is made in another thread while the one before is used."""
    with ThreadPoolExecutor(max_workers=1) as reader:
        coming = reader.submit(next, items, None)
        while (item := coming.result()) is not None:
            coming = reader.submit(next, items, None)
            yield item


def side_by_side(work: Callable[[Item], Result], items: Iterable[Item]) -> Iterator[Result]:
    """What `work` makes of each item, in their order; one item waits besides those worked on, so that no thread does."""
    with ThreadPoolExecutor(THREADS) as workers:
        coming: deque[Future[Result]] = deque()
        for item in items:
            coming.append(workers.submit(work, item))
            if len(coming) > THREADS:
                yield coming.popleft().result()
        while coming:
            yield coming.popleft().result()
