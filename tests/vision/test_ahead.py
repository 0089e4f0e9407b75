"""Reading ahead changes nothing but when things are made."""

import threading
from collections.abc import Iterator

import pytest

from vision.ahead import ahead


def test_items_come_in_order_made_in_another_thread() -> None:
    makers = set()

    def items() -> Iterator[int]:
        for i in range(1, 6):
            makers.add(threading.get_ident())
            yield i

    assert list(ahead(items())) == [1, 2, 3, 4, 5]
    assert threading.get_ident() not in makers


def test_the_next_is_made_while_one_is_used() -> None:
    made = threading.Event()

    def items() -> Iterator[str]:
        yield "first"
        made.set()
        yield "second"

    coming = ahead(items())
    assert next(coming) == "first"
    assert made.wait(5)


def test_an_error_comes_after_what_was_made_before_it() -> None:
    def items() -> Iterator[str]:
        yield "sound"
        raise ValueError("damaged")

    coming = ahead(items())
    assert next(coming) == "sound"
    with pytest.raises(ValueError, match="damaged"):
        next(coming)


def test_nothing_is_made_once_the_reader_has_left() -> None:
    made = []

    def items() -> Iterator[int]:
        for i in range(1, 100):
            made.append(i)
            yield i

    for item in ahead(items()):
        if item == 3:
            break
    assert len(made) <= 5
