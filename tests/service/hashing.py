"""Passwords, hashed by the same algorithm at a thousandth of the cost; `tests/service/access/test_passwords.py` takes the real one."""

import pytest
from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher

from service.access import passwords

QUICK = PasswordHash((Argon2Hasher(time_cost=1, memory_cost=64, parallelism=1),))


@pytest.fixture(autouse=True)
def quick_hashes(monkeypatch: pytest.MonkeyPatch) -> None:
    """For all tests of a folder whose conftest.py imports it."""
    monkeypatch.setattr(passwords, "_hasher", QUICK)
    passwords._nobodys.cache_clear()
