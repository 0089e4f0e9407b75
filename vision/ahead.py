"""Reading ahead: the next item is made in another thread while the one before is used."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

Item = TypeVar("Item")


def ahead(items: Iterator[Item]) -> Iterator[Item]:
    """The same items; worth it where making one and using one both let go of the interpreter, as video codecs do."""
    with ThreadPoolExecutor(max_workers=1) as reader:
        coming = reader.submit(next, items, None)
        while (item := coming.result()) is not None:
            coming = reader.submit(next, items, None)
            yield item
