"""The headers of resumable uploads.

Source: tus resumable upload protocol 1.0.0, with its extensions creation, expiration, termination and checksum.
"""

import base64
import binascii
from collections.abc import Mapping
from datetime import datetime
from email.utils import format_datetime
from typing import Annotated, Final

from fastapi import Header
from pydantic import TypeAdapter, ValidationError

from service.api.arriving import Told
from service.api.problems import Problem
from service.records import Upload

VERSION: Final = "1.0.0"
RESUMABLE: Final = {"Tus-Resumable": VERSION}
EXTENSIONS: Final = "creation,expiration,termination,checksum"
CONTENT_TYPE: Final = "application/offset+octet-stream"
KEPT: Final = ("athlete", "prescription", "movement", "hold", "filmed")
"""What is kept of what the client says. A file's name is not: it may be anything."""

_MOMENT: Final = TypeAdapter(datetime)

TusVersion = Annotated[str | None, Header(alias="Tus-Resumable", description="1.0.0", examples=[VERSION])]
Metadata = Annotated[
    str | None,
    Header(
        alias="Upload-Metadata",
        max_length=60_000,
        description="Pairs of a name and a value in base64, separated by commas: `athlete` (identifier; may be left out by "
        "athletes), `prescription` (identifier) or `movement` (name), `hold` (true or false), `filmed` (RFC 3339), `sensor` "
        "(a sensor track, JSON). Other names are not kept.",
        examples=["movement cHVzaC11cA==,hold ZmFsc2U="],
    ),
]


def require_version(version: str | None) -> None:
    """Refuse other versions of the protocol.

    Raises:
        Problem: 412, with the version that is spoken here.
    """
    if version != VERSION:
        raise Problem(412, f"Tus-Resumable must be {VERSION}.", headers={"Tus-Version": VERSION})


def read_metadata(header: str | None) -> dict[str, bytes]:
    """The pairs of a metadata header.

    Raises:
        Problem: it is none.
    """
    pairs: dict[str, bytes] = {}
    for pair in header.split(",") if header else []:
        name, _, value = pair.strip().partition(" ")
        if not name or name in pairs:
            raise Problem(400, "Upload-Metadata: each pair has a name of its own.")
        try:
            pairs[name] = base64.b64decode(value, validate=True)
        except (binascii.Error, ValueError) as fault:
            raise Problem(400, f"Upload-Metadata: {name!r} is not in base64.") from fault
    return pairs


def kept_metadata(pairs: Mapping[str, bytes]) -> dict[str, str]:
    """What is kept of it, as text.

    Raises:
        Problem: it is not text.
    """
    try:
        kept = {name: pairs[name].decode() for name in KEPT if name in pairs}
    except UnicodeDecodeError as fault:
        raise Problem(400, "Upload-Metadata: a value is not text in UTF-8.") from fault
    if any(len(value) > 100 or "\0" in value for value in kept.values()):
        raise Problem(400, "Upload-Metadata: a value is longer than 100 characters, or no text.")
    return kept


def write_metadata(kept: Mapping[str, str]) -> str:
    """The header that says what was kept."""
    return ",".join(f"{name} {base64.b64encode(value.encode()).decode()}" for name, value in kept.items())


def told_by(kept: Mapping[str, str]) -> Told:
    """What the pairs say of the clip.

    Raises:
        Problem: a value cannot be read.
    """
    if kept.get("hold", "true") not in ("true", "false"):
        raise Problem("invalid", "hold: should be true or false")
    hold = kept["hold"] == "true" if "hold" in kept else None
    try:
        filmed = _MOMENT.validate_python(kept["filmed"]) if "filmed" in kept else None
    except ValidationError as fault:
        raise Problem("invalid", "filmed: should be a moment as in 2026-05-01T18:30:00+02:00") from fault
    if filmed is not None and filmed.tzinfo is None:
        raise Problem("invalid", "filmed: needs its time zone, as in 2026-05-01T18:30:00+02:00")
    return Told(kept.get("athlete"), kept.get("prescription"), kept.get("movement"), hold, filmed)


def read_checksum(header: str | None) -> bytes | None:
    """The SHA-256 that what is sent must have; None: not said.

    Raises:
        Problem: it is of another algorithm, or none.
    """
    if header is None:
        return None
    algorithm, _, value = header.partition(" ")
    try:
        digest = base64.b64decode(value, validate=True)
    except (binascii.Error, ValueError):
        digest = b""
    if algorithm != "sha256" or len(digest) != 32:
        raise Problem(400, "Upload-Checksum: write sha256 and the digest in base64.")
    return digest


def expiry(row: Upload) -> dict[str, str]:
    """The header that says until when an upload may go on."""
    return {"Upload-Expires": format_datetime(row.expires, usegmt=True)}
