"""Passwords: what a new one must be, how it is kept, how it is checked.

A password has 12 to 128 characters of any kind, none of them asked for (ASVS 5.0, 6.2.1, 6.2.5, 6.2.9). Instead of rules it is
weighed by how many guesses it would stand, among them the 30,000 commonest passwords and what people make of them (6.2.4), and
the words around it, like the gym's name, do not count towards its length (6.2.11). Nobody is asked to renew one (6.2.10).
"""

import re
from collections.abc import Iterable
from functools import cache
from threading import BoundedSemaphore

from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher

from service.access.errors import PasswordError
from service.access.tokens import new_token

SHORTEST, LONGEST = 12, 128
BESIDE_CONTEXT = 8
"""Characters that must be left when the gym's name, the login and such are taken away."""
GUESSES = 1e10
"""zxcvbn's best class: out of reach even of someone who holds the hashes and has machines for months."""
WEIGHED = 72
"""Characters that are weighed: zxcvbn's time grows fast, and 72 that stand enough guesses need no help from the rest."""

_hasher = PasswordHash((Argon2Hasher(),))
_at_once = BoundedSemaphore(4)
"""A hash takes 64 MiB and a fifth of a second: a crowd that signs in waits in line, and does not fill the memory."""


def check_new(password: str, context: Iterable[str]) -> None:
    """Check a new password.

    Args:
        password: as it came.
        context: texts that an attacker would try first: the gym's name, the login, the person's name.

    Raises:
        PasswordError: it is too short, too long, made of the context, or would soon be guessed.
    """
    from zxcvbn import zxcvbn  # loads its lists of words

    if len(password) < SHORTEST:
        raise PasswordError(f"a password needs {SHORTEST} characters or more; three or four words will do")
    if len(password) > LONGEST:
        raise PasswordError(f"a password can have {LONGEST} characters; this one has {len(password)}")
    words = _words(context)
    if len(_without(password, words)) < BESIDE_CONTEXT:
        raise PasswordError("this password is made of your name, your login or the gym's name; take other words")
    if zxcvbn(password[:WEIGHED], user_inputs=words)["guesses"] < GUESSES:
        raise PasswordError("this password is among the first to be guessed; take words that do not belong together")


def _words(context: Iterable[str]) -> list[str]:
    """Words of three letters or more, longest first."""
    found = {
        word for text in (*context, "plumbrep") for word in re.split(r"[\W_\d]+", text.casefold()) if len(word) > 2
    }
    return sorted(found, key=len, reverse=True)


def _without(password: str, words: list[str]) -> str:
    rest = password.casefold()
    for word in words:
        rest = rest.replace(word, "")
    return rest


def hash_password(password: str) -> str:
    """What is kept of a password: argon2id."""
    with _at_once:
        return _hasher.hash(_bytes(password))


def is_right(password: str, kept: str | None) -> bool:
    """Whether a password is the one that was kept; where none was, it takes as long to say no."""
    stand_in = _nobodys()
    with _at_once:
        right = _hasher.verify(_bytes(password[: LONGEST + 1]), kept or stand_in)
    return right and kept is not None


@cache
def _nobodys() -> str:
    """A hash that no password fits, because nobody knows what it is of."""
    return _hasher.hash(new_token())


def _bytes(password: str) -> bytes:
    """The password exactly as it came, even where it is no valid text."""
    return password.encode("utf-8", "surrogatepass")
