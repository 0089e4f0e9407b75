"""Why somebody is not let in, or may not.

BadInput
+-- NotLetIn             no session, no key, no link that counts
|   +-- TooManyTries     signing in was tried too often; says how long to wait
|   +-- CodeNeeded       the password is right, and a code of the second factor is needed too
+-- PasswordError        a new password that would soon be guessed, or is too short or too long
+-- QuotaSpent           an athlete has sent as many clips as one day allows
+-- FactorError          a second factor that cannot be set up so
+-- KeyRequestError      a key that cannot be made as asked
"""

from models.errors import BadInput


class NotLetIn(BadInput):
    """No session, no key, no link that counts."""


class TooManyTries(NotLetIn):
    """Signing in was tried too often.

    Attributes:
        wait: seconds until it can be tried again.
    """

    def __init__(self, wait: int) -> None:
        super().__init__(f"too many tries to sign in; try again in {-(-wait // 60)} min")
        self.wait = wait


class CodeNeeded(NotLetIn):
    """The password is right, and a code of the second factor is needed too."""

    def __init__(self) -> None:
        super().__init__("the six digits that the app on your phone shows are needed too")


class PasswordError(BadInput):
    """A new password that would soon be guessed, or is too short or too long."""


class QuotaSpent(BadInput):
    """An athlete has sent as many clips as one day allows.

    Attributes:
        wait: seconds until the next one is taken.
    """

    def __init__(self, limit: int, wait: int) -> None:
        super().__init__(f"{limit} clips a day are taken; send this one in {-(-wait // 3600)} h")
        self.wait = wait


class FactorError(BadInput):
    """A second factor that cannot be set up so."""


class KeyRequestError(BadInput):
    """A key that cannot be made as asked."""
