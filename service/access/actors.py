"""Who asks: a person of a gym, a program with its key, or whoever runs the machine."""

from dataclasses import dataclass
from typing import Literal, get_args

Kind = Literal["athlete", "coach", "owner", "program", "operator"]
Scope = Literal["read:tempo", "read:clips", "write:clips", "read:people", "write:prescriptions"]

SCOPES: frozenset[Scope] = frozenset(get_args(Scope))
"""All that a program's key can be given."""


@dataclass(frozen=True)
class Actor:
    """Somebody who has been let in.

    Attributes:
        kind: what they are.
        gym_id: their gym; None for the operator alone, who belongs to none and sees none.
        person_id: the athlete, coach or owner.
        key_id: the program's key.
        scopes: what that key may do.
        session_id: the browser's session.
    """

    kind: Kind
    gym_id: str | None
    person_id: str | None = None
    key_id: str | None = None
    scopes: frozenset[str] = frozenset()
    session_id: str | None = None

    @property
    def id(self) -> str | None:
        """What records of who did something hold: the person's identifier, or the key's."""
        return self.person_id or self.key_id

    @property
    def rules(self) -> bool:
        """Whether it is theirs to rule on reps and holds: a coach or an owner."""
        return self.kind in ("coach", "owner")


OPERATOR = Actor("operator", gym_id=None)
"""Whoever runs the machine, at its command line or with its token."""
