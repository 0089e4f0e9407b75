"""Sending one message, to real servers: slow, broken, redirecting, with wrong certificates."""

import datetime as dt
import socket
import ssl
import threading
import time
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from service.hooks.address import Target, read_url
from service.hooks.post import NotConnectedError, NotSentError, post
from service.settings import Settings
from tests.service.hooks.receiver import Answer, dripping, flaky, receiving, says, status

INSIDE = Settings(webhooks=True, webhooks_private=True)
BODY = '{"reps":8,"note":"früh"}'.encode()


def send(url: str, seconds: float = 5) -> int:
    return post(read_url(url, INSIDE), "127.0.0.1", BODY, {"Content-Type": "application/json", "X-One": "1"}, seconds)


def test_what_is_sent() -> None:
    with receiving(status(204)) as receiver:
        assert send(receiver.url) == 204
    (request,) = receiver.received
    assert (request.path, request.body) == ("/hook?gym=1", BODY)
    assert request.headers["host"] == f"127.0.0.1:{receiver.port}"
    assert (request.headers["content-length"], request.headers["x-one"]) == (str(len(BODY)), "1")
    assert request.headers["content-type"] == "application/json"


@pytest.mark.parametrize("code", [200, 201, 299, 400, 410, 429, 500, 503])
def test_any_answer_is_an_answer(code: int) -> None:
    with receiving(status(code)) as receiver:
        assert send(receiver.url) == code


@pytest.mark.parametrize("code", [301, 302, 303, 307, 308])
def test_redirects_are_not_followed(code: int) -> None:
    with receiving(status(200)) as elsewhere, receiving(status(code, Location=elsewhere.url)) as receiver:
        assert send(receiver.url) == code
    assert (elsewhere.connections, receiver.connections) == (0, 1)


@pytest.mark.parametrize(
    ("answer", "why"),
    [
        (flaky(0), "no HTTP"),
        (says(b"\x16\x03\x01 not at all\r\n\r\n"), "no HTTP"),
        (says(b"HTTP/1.1 200 OK\r\n" + b"X: y\r\n" * 300 + b"\r\n"), "no HTTP"),
        (says(b"HTTP/1.1 200 " + b"x" * 100_000), "no HTTP"),
    ],
)
def test_what_is_no_answer(answer: Answer, why: str) -> None:
    with receiving(answer) as receiver, pytest.raises(NotSentError, match=why):
        send(receiver.url)


def silent(handler: object, _n: int) -> None:
    assert handler
    time.sleep(0.8)


@pytest.mark.parametrize("answer", [silent, dripping(5)])
def test_a_slow_server_is_cut_off(answer: Answer) -> None:
    """Also one that never lets a single read wait."""
    with receiving(answer) as receiver:
        begun = time.monotonic()
        with pytest.raises(NotSentError, match=r"no answer in 0\.4 s|timed out"):
            send(receiver.url, 0.4)
        assert time.monotonic() - begun < 2


def test_a_large_answer_is_not_read() -> None:
    def endless(handler: object, _n: int) -> None:
        wfile = handler.wfile  # type: ignore[attr-defined]
        wfile.write(b"HTTP/1.1 200 OK\r\nContent-Length: 1000000000000\r\n\r\n")
        while True:
            wfile.write(b"x" * 65536)

    with receiving(endless) as receiver:
        begun = time.monotonic()
        assert send(receiver.url) == 200
        assert time.monotonic() - begun < 3


def test_nobody_there() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
    with pytest.raises(NotConnectedError, match="no connection: Connection refused"):
        send(f"http://127.0.0.1:{port}/")


def test_nothing_is_left_behind() -> None:
    before = threading.active_count()
    with receiving(status(200)) as receiver:
        for _ in range(5):
            send(receiver.url)
        assert not [t for t in threading.enumerate() if isinstance(t, threading.Timer)]
    assert threading.active_count() <= before + 1


def certificate(folder: Path, name: str) -> tuple[Path, ssl.SSLContext]:
    """A certificate for a name, signed by itself, and a server's context with it."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    moment = dt.datetime.now(dt.UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(moment - dt.timedelta(hours=1))
        .not_valid_after(moment + dt.timedelta(hours=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    pem = folder / f"{name}.pem"
    pem.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    secret = folder / f"{name}.key"
    secret.write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(pem, secret)
    return pem, context


def test_the_certificate_is_the_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The connection goes to an address, and yet the name is what the certificate must hold."""
    trusted, tls = certificate(tmp_path, "tool.example")
    with receiving(status(200), tls) as receiver:

        def to(name: str) -> int:
            return post(Target(True, name, receiver.port, "/hook"), "127.0.0.1", BODY, {}, 5)

        with pytest.raises(NotSentError, match="certificate does not hold"):
            to("tool.example")
        monkeypatch.setenv("SSL_CERT_FILE", str(trusted))
        assert to("tool.example") == 200
        for other in ("evil.example", "127.0.0.1", "localhost"):
            with pytest.raises(NotSentError, match="certificate does not hold"):
                to(other)
    assert [r.headers["host"] for r in receiver.received] == [f"tool.example:{receiver.port}"]


def test_a_server_that_does_not_speak_tls() -> None:
    with receiving(status(200)) as receiver:
        with pytest.raises(NotSentError):
            post(Target(True, "tool.example", receiver.port, "/"), "127.0.0.1", BODY, {}, 2)
        assert not receiver.received
