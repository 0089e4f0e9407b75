"""Sending one message: to an address that was checked, without redirects, within a time.

Python's own HTTP client, because the connection has to be made to the checked address while the certificate is that of the name:
this is plain to see here, and needs no package. It follows no redirects and knows no proxies.
"""

import http.client
import socket
import ssl
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from threading import Event, Timer

from service.hooks.address import Target

CONNECT_SECONDS = 5.0


class NotSentError(Exception):
    """No answer came; the message says why, without the address."""


class NotConnectedError(NotSentError):
    """Nothing was sent, so that another address can be tried."""


def post(target: Target, address: str, body: bytes, headers: Mapping[str, str], seconds: float) -> int:
    """Send a body by POST and return the answer's status; what else it answers is not read.

    Args:
        target: what is asked for.
        address: the IP address to connect to.
        body: the bytes.
        headers: besides `Host` and `Content-Length`.
        seconds: the longest that all of it may take once the connection stands.

    Raises:
        NotConnectedError: no connection.
        NotSentError: no valid certificate, no answer in time, or none that is HTTP.
    """
    try:
        plain = socket.create_connection((address, target.port), CONNECT_SECONDS)
    except OSError as error:
        raise NotConnectedError(f"no connection: {_words(error)}") from error
    plain.settimeout(seconds)
    with _cut_after(plain, seconds) as late:
        try:
            with _wrapped(plain, target) as connection:
                answer = _exchange(connection, target, body, headers)
        except (OSError, http.client.HTTPException) as error:
            raise NotSentError(f"no answer in {seconds:g} s" if late.is_set() else _words(error)) from error
    if late.is_set():  # cut within the header, which reads like its end
        raise NotSentError(f"no answer in {seconds:g} s")
    return answer


@contextmanager
def _cut_after(connection: socket.socket, seconds: float) -> Iterator[Event]:
    """Shut a connection when its time is over, however busy: a socket's own limit is for each read, and begins anew with each byte."""
    late = Event()

    def cut() -> None:
        late.set()
        with suppress(OSError):
            handle.shutdown(socket.SHUT_RDWR)

    with connection.dup() as handle:  # TLS takes the socket over; this one still reaches the connection
        timer = Timer(seconds, cut)
        timer.start()
        try:
            yield late
        finally:
            timer.cancel()
            timer.join()


def _wrapped(plain: socket.socket, target: Target) -> socket.socket:
    """The connection, with TLS where it is asked for; the certificate has to be the name's, not the address's."""
    return ssl.create_default_context().wrap_socket(plain, server_hostname=target.host) if target.secure else plain


def _exchange(connection: socket.socket, target: Target, body: bytes, headers: Mapping[str, str]) -> int:
    with closing(http.client.HTTPConnection(target.host, target.port)) as client:
        client.sock = connection
        client.request("POST", target.path, body, {"Host": target.host_header, **headers})
        with client.getresponse() as response:
            return response.status


def _words(error: Exception) -> str:
    """An error in a few words, none of them the other side's own."""
    match error:
        case ssl.SSLCertVerificationError():
            return f"the certificate does not hold: {error.verify_message}"
        case http.client.HTTPException():
            return "the answer was no HTTP"
        case OSError():
            return error.strerror or str(error) or type(error).__name__
        case _:
            return type(error).__name__
