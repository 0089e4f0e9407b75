"""A receiver of webhooks: a real HTTP server in a thread, and a verifier written from the description alone."""

import base64
import json
import ssl
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from cryptography.hazmat.primitives import constant_time, hashes, hmac

Answer = Callable[[BaseHTTPRequestHandler, int], None]
"""Answers the n-th request, counted from 1."""


@dataclass
class Received:
    """A request as it came."""

    path: str
    headers: dict[str, str]
    body: bytes

    @property
    def message(self) -> dict[str, Any]:
        """What it says."""
        found = json.loads(self.body)
        assert isinstance(found, dict)
        return found


@dataclass
class Receiver:
    """A server that keeps what comes."""

    port: int
    scheme: str = "http"
    received: list[Received] = field(default_factory=list)
    connections: int = 0

    @property
    def url(self) -> str:
        """Its address."""
        return f"{self.scheme}://127.0.0.1:{self.port}/hook?gym=1"


def status(code: int, **headers: str) -> Answer:
    """Always this status."""

    def answer(handler: BaseHTTPRequestHandler, _n: int) -> None:
        handler.send_response(code)
        for name, value in headers.items():
            handler.send_header(name, value)
        handler.send_header("Content-Length", "0")
        handler.end_headers()

    return answer


def flaky(*codes: int) -> Answer:
    """One status after the other; 0 hangs up without an answer."""

    def answer(handler: BaseHTTPRequestHandler, n: int) -> None:
        code = codes[min(n, len(codes)) - 1]
        if code:
            status(code)(handler, n)
        else:
            handler.close_connection = True

    return answer


def dripping(seconds: float) -> Answer:
    """A byte of the header at a time, for so long: no single read is late."""

    def answer(handler: BaseHTTPRequestHandler, _n: int) -> None:
        end = time.monotonic() + seconds
        try:
            handler.wfile.write(b"HTTP/1.1 200 OK\r\nX-Slow: ")
            while time.monotonic() < end:
                handler.wfile.write(b"x")
                handler.wfile.flush()
                time.sleep(0.05)
        except OSError:
            pass

    return answer


def says(raw: bytes) -> Answer:
    """These bytes."""

    def answer(handler: BaseHTTPRequestHandler, _n: int) -> None:
        handler.wfile.write(raw)
        handler.close_connection = True

    return answer


@contextmanager
def receiving(answer: Answer, tls: ssl.SSLContext | None = None) -> Iterator[Receiver]:
    """A receiver on a free port."""
    lock = threading.Lock()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length", "0")))
            with lock:
                receiver.received.append(Received(self.path, {k.lower(): v for k, v in self.headers.items()}, body))
                n = len(receiver.received)
            answer(self, n)

        def do_GET(self) -> None:
            self.do_POST()

        def log_message(self, *_: Any) -> None:
            pass

    class Server(ThreadingHTTPServer):
        daemon_threads = True

        def handle_error(self, *_: Any) -> None:
            """A client that hangs up is part of the tests."""

        def verify_request(self, *_: Any) -> bool:
            receiver.connections += 1
            return True

    with Server(("127.0.0.1", 0), Handler) as server:
        receiver = Receiver(server.server_address[1], "https" if tls else "http")
        if tls:
            server.socket = tls.wrap_socket(server.socket, server_side=True)
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        try:
            yield receiver
        finally:
            server.shutdown()
            thread.join()


class Verifier:
    """As a program tool would do it, with another library than the service."""

    def __init__(self, secret: str) -> None:
        self.secret = secret
        self.seen: set[str] = set()

    def refuses(self, request: Received, clock: float | None = None) -> str | None:
        """Why a request is not believed; None: it is."""
        sent = request.headers["plumbrep-time"]
        if abs((time.time() if clock is None else clock) - int(sent)) > 300:
            return "too old"
        mac = hmac.HMAC(self.secret.encode("ascii"), hashes.SHA256())
        mac.update(sent.encode("ascii") + b"." + request.body)
        wanted = "v1=" + base64.b16encode(mac.finalize()).decode().lower()
        if not constant_time.bytes_eq(wanted.encode(), request.headers["plumbrep-signature"].encode()):
            return "wrong signature"
        if request.headers["plumbrep-delivery"] in self.seen:
            return "seen"
        self.seen.add(request.headers["plumbrep-delivery"])
        return None
