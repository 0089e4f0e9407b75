"""`plumbrep serve`: the server, its workers and what else runs beside it, in one process group that starts and stops together."""

import socket
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from ipaddress import ip_address
from threading import Event, Thread
from types import FrameType
from typing import Final

import structlog
import uvicorn
from fastapi import FastAPI

from models.errors import BadInput
from service.api.state import Parts
from service.jobs.dbos_queue import prepare
from service.records.migrate import upgrade
from service.running.app import served_app
from service.running.crew import WORKER, keep_working
from service.running.daily import tidy_daily
from service.running.deliver import run as deliver
from service.running.logs import log_as_json
from service.settings import Settings
from service.signals import told_to_stop

BACKLOG: Final = 1024

log = structlog.get_logger(__name__)


class ServeError(BadInput):
    """The server cannot start as it was told to."""


def serve(settings: Settings, ready: Callable[[str], None], worker: Sequence[str] = WORKER) -> None:
    """Serve until told to stop (SIGTERM, SIGINT): then requests under way are answered, workers end, and nothing is left.

    Args:
        settings: Of the service. Workers read their own from the environment.
        ready: Called with the service's address once it answers.
        worker: The command that runs one worker.

    Raises:
        BadInput: the address is taken, the certificate cannot be used, the database is not ours.
    """
    log_as_json(settings.log_level, process="serve")
    with _listening(settings) as listener:
        settings = settings.model_copy(update={"port": listener.getsockname()[1]})
        log.info("listening", host=settings.host, port=settings.port)
        upgrade(settings.database_url)
        prepare(settings)
        app = served_app(settings)
        server = _Server(_config(settings, app), app.state.parts, ready)
        # The server sends signals on when it has stopped, and they come too while it does not listen to them itself.
        with told_to_stop(server.handle_exit), _beside(settings, app.state.parts, worker):
            server.run(sockets=[listener])
    log.info("stopped")


class _Server(uvicorn.Server):
    """Says when it answers, and lets all else stop as soon as it is told to."""

    def __init__(self, config: uvicorn.Config, parts: Parts, ready: Callable[[str], None]) -> None:
        super().__init__(config)
        self._parts = parts
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._ready(self._parts.settings.url)

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        self._parts.stopping.set()
        super().handle_exit(sig, frame)


@contextmanager
def _beside(settings: Settings, parts: Parts, worker: Sequence[str]) -> Iterator[None]:
    """Workers, the sending of messages and the daily tidying, for as long as the block lasts."""
    stop: Event = parts.stopping
    threads = [
        Thread(target=keep_working, args=(settings.workers, stop, worker), name="workers"),
        Thread(target=deliver, args=(parts.database, settings, stop), name="deliver"),
        Thread(target=tidy_daily, args=(settings, parts.database, parts.store, stop), name="tidy"),
    ]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        stop.set()
        for thread in threads:
            thread.join()
        parts.database.engine.dispose()


@contextmanager
def _listening(settings: Settings) -> Iterator[socket.socket]:
    """The socket, bound before anything else is done: a second server on the same address must change nothing."""
    try:
        family = socket.AF_INET6 if ip_address(settings.host).version == 6 else socket.AF_INET
    except ValueError:
        family = socket.AF_INET
    try:
        listener = socket.create_server((settings.host, settings.port), family=family, backlog=BACKLOG)
    except OSError as fault:
        raise ServeError(
            f"cannot listen at {settings.host}:{settings.port} ({fault.strerror}): set PLUMBREP_HOST and PLUMBREP_PORT "
            "to an address of this machine that is free"
        ) from fault
    with listener:
        yield listener


def _config(settings: Settings, app: FastAPI) -> uvicorn.Config:
    config = uvicorn.Config(
        app,
        log_config=None,
        access_log=False,  # it names addresses and queries; `watching` tells of requests
        server_header=False,
        proxy_headers=settings.behind_proxy,
        forwarded_allow_ips=settings.proxy_addresses,
        timeout_graceful_shutdown=max(1, round(settings.stop_seconds)),
        ssl_certfile=settings.tls_certificate,
        ssl_keyfile=settings.tls_key,
    )
    try:
        config.load()
    except OSError as fault:  # also what is wrong inside the files: ssl.SSLError
        raise ServeError(
            f"the certificate or its key cannot be used ({fault.strerror or fault}): check PLUMBREP_TLS_CERTIFICATE and "
            "PLUMBREP_TLS_KEY"
        ) from fault
    return config
