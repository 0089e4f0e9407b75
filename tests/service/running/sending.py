"""Athletes who send clips over lines that break."""

import base64
import time
from collections.abc import Iterator

import httpx

TUS = {"Tus-Resumable": "1.0.0"}
SEND = {**TUS, "Content-Type": "application/offset+octet-stream"}


class BrokenLine(Exception):
    """The connection is gone in the middle of a request."""


def send_whole(client: httpx.Client, clip: bytes, name: str, **said: str) -> str:
    """In one piece; the clip's identifier."""
    answer = client.post("/api/v1/clips", files={"file": (name, clip, "video/mp4")}, data=said)
    assert answer.status_code in (200, 201), answer.text
    return str(answer.json()["id"])


def send_in_pieces(client: httpx.Client, clip: bytes, name: str, *, breaks: int, **said: str) -> str:
    """By tus, broken off so many times and resumed; the clip's identifier."""
    told = ",".join(f"{key} {_base64(text)}" for key, text in {"filename": name, **said}.items())
    begun = client.post("/api/v1/uploads", headers={**TUS, "Upload-Length": str(len(clip)), "Upload-Metadata": told})
    assert begun.status_code == 201, begun.text
    place = begun.headers["location"]
    for n in range(breaks):
        _break_off(client, place, clip, len(clip) * (n + 1) // (breaks + 2))
    return _resume(client, place, clip)


def _break_off(client: httpx.Client, place: str, clip: bytes, end: int) -> None:
    """Say that all comes, and be gone after byte `end`."""
    offset = _offset(client, place)

    def pieces() -> Iterator[bytes]:
        yield clip[offset:end]
        time.sleep(0.05)
        raise BrokenLine

    headers = {**SEND, "Upload-Offset": str(offset), "Content-Length": str(len(clip) - offset)}
    try:
        client.patch(place, content=pieces(), headers=headers)
    except BrokenLine:
        return
    raise AssertionError("the line did not break")


def _resume(client: httpx.Client, place: str, clip: bytes, seconds: float = 60) -> str:
    """Ask how much has come, and send the rest; the server may still be busy with what broke off."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        offset = _offset(client, place)
        answer = client.patch(place, content=clip[offset:], headers={**SEND, "Upload-Offset": str(offset)})
        if answer.status_code == 204:
            return answer.headers["plumbrep-clip"]
        assert answer.status_code in (409, 423), answer.text
        time.sleep(0.1)
    raise AssertionError(f"not sent in {seconds} s")


def _offset(client: httpx.Client, place: str) -> int:
    return int(client.head(place, headers=TUS).headers["upload-offset"])


def _base64(text: str) -> str:
    return base64.b64encode(text.encode()).decode()
