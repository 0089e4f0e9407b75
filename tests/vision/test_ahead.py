"""Doing two things at the same time changes nothing but when things are made."""

import threading
from collections.abc import Iterator

import pytest

from vision.ahead import THREADS, ahead, side_by_side


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


def test_work_side_by_side_comes_in_the_order_of_the_items() -> None:
    later = threading.Event()

    def work(item: int) -> int:
        # The first is done after the second, which is only possible where both are worked on at the same time.
        assert item != 1 or later.wait(5)
        if item == 2:
            later.set()
        return 10 * item

    assert list(side_by_side(work, [1, 2, 3, 4])) == [10, 20, 30, 40]


def test_one_item_waits_besides_those_worked_on() -> None:
    made = []

    def items() -> Iterator[int]:
        for i in range(1, 100):
            made.append(i)
            yield i

    for done in side_by_side(lambda item: item, items()):
        assert len(made) <= done + THREADS


def test_an_error_side_by_side_comes_after_what_was_done_before_it() -> None:
    def work(item: int) -> int:
        if item == 2:
            raise ValueError("cannot")
        return item

    coming = side_by_side(work, [1, 2, 3])
    assert next(coming) == 1
    with pytest.raises(ValueError, match="cannot"):
        next(coming)
