import threading
import time

import pytest
from zxcvbn.frequency_lists import FREQUENCY_LISTS

from service.access import passwords
from service.access.errors import PasswordError
from service.access.passwords import check_new, hash_password, is_right

CONTEXT = ("Tall Oak Hall", "bo.lund", "Bo Lund")


@pytest.fixture(autouse=True)
def quick_hashes() -> None:
    """Not here."""


@pytest.mark.parametrize(
    "password",
    [
        "kettle orbit fern", "KETTLE ORBIT FERN", "kettleorbitfern", "8391 0275 6143 9920", "gänseblümchen im märz",
        "鉄棒 逆立ち 静止 鉄棒 前水平 逆上がり", "!$%&/()=?-.;:_#+*", "Zg7#pQ2v!mXw", " leading and trailing words ",
    ],
)  # fmt: skip
def test_asvs_6_2_5_any_kind_of_character(password: str) -> None:
    check_new(password, CONTEXT)


def test_asvs_6_2_1_and_6_2_9_lengths() -> None:
    words = "Zg7#pQ2v!mXw kettle orbit fern velvet ladder comet harbour pickle tundra walnut saddle ember quartz mitten"
    words += " lagoon cactus parade violin"
    for length in (12, 64, 128):
        check_new(words[:length], CONTEXT)
    with pytest.raises(PasswordError, match="needs 12 characters"):
        check_new(words[:11], CONTEXT)
    with pytest.raises(PasswordError, match="can have 128 characters; this one has 129"):
        check_new((words * 2)[:129], CONTEXT)


def test_asvs_6_2_4_the_commonest_passwords() -> None:
    """All on the list that are long enough, and 3000 of the others as people lengthen them."""
    commonest = list(FREQUENCY_LISTS["passwords"])
    assert len(commonest) >= 3000
    long_enough = [word for word in commonest if len(word) >= passwords.SHORTEST]
    lengthened = [word + str(2020 + n % 7) for n, word in enumerate(commonest[:3000:30]) if len(word) >= 8]
    doubled = [word * 2 for word in commonest[:3000:30] if len(word) >= 6]
    assert len(long_enough) > 200
    assert len(lengthened) > 10
    assert len(doubled) > 50
    for word in long_enough + lengthened + doubled:
        with pytest.raises(PasswordError):
            check_new(word, CONTEXT)


@pytest.mark.parametrize(
    "password",
    ["TallOakHall2026", "tall-oak-hall!!", "bo.lund.bo.lund", "Lund1234567!", "plumbrep-hall-1", "OakOakOakOakOak"],
)
def test_asvs_6_2_11_words_of_the_context(password: str) -> None:
    with pytest.raises(PasswordError, match=r"made of your name|first to be guessed"):
        check_new(password, CONTEXT)


def test_context_words_beside_others_are_no_harm() -> None:
    check_new("tall kettle orbit fern", CONTEXT)


def test_weighing_the_longest_password_takes_no_time() -> None:
    for nasty in ("a1b2c3d4" * 16, "abcdefgh" * 16, "P@ssw0rd" * 16, "0" * 128):
        before = time.perf_counter()
        with pytest.raises(PasswordError):
            check_new(nasty, CONTEXT)
        assert time.perf_counter() - before < 2


def test_asvs_6_2_8_exactly_as_it_came() -> None:
    kept = hash_password("Kettle orbit fern ")
    assert is_right("Kettle orbit fern ", kept)
    for near in ("kettle orbit fern ", "Kettle orbit fern", " Kettle orbit fern "):
        assert not is_right(near, kept)
    long = hash_password("ä" * 128)
    assert is_right("ä" * 128, long)
    assert not is_right("ä" * 127, long)
    assert not is_right("ä" * 129, long)


def test_kept_as_argon2id_with_its_own_salt() -> None:
    first, second = hash_password("kettle orbit fern"), hash_password("kettle orbit fern")
    assert first.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert first != second


def test_text_that_is_none_is_a_wrong_password() -> None:
    assert not is_right("\ud800" * 12, hash_password("kettle orbit fern"))


def test_nobody_has_no_password_whatever_is_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    hashed = hash_password("kettle orbit fern")
    monkeypatch.setattr(passwords, "_nobodys", lambda: hashed)
    assert is_right("kettle orbit fern", hashed)
    assert not is_right("kettle orbit fern", None)


def test_asvs_6_3_8_nobody_takes_as_long_as_somebody() -> None:
    kept = hash_password("kettle orbit fern")
    assert not is_right("kettle orbit fern", None)

    def shortest(hashed: str | None) -> float:
        times = []
        for _ in range(3):
            before = time.process_time()
            is_right("wrong password here", hashed)
            times.append(time.process_time() - before)
        return min(times)

    assert 0.6 < shortest(None) / shortest(kept) < 1.6


def test_a_crowd_waits_in_line(monkeypatch: pytest.MonkeyPatch) -> None:
    running, most, lock = 0, 0, threading.Lock()
    verify = passwords._hasher.verify

    def counting(*args: str | bytes) -> bool:
        nonlocal running, most
        with lock:
            running += 1
            most = max(most, running)
        try:
            return verify(*args)
        finally:
            with lock:
                running -= 1

    monkeypatch.setattr(passwords._hasher, "verify", counting)
    threads = [threading.Thread(target=is_right, args=("wrong password here", None)) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert 1 <= most <= 4
