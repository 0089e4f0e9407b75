"""Servers that tests start for themselves: a real PostgreSQL in a temporary folder, spoken to over a socket in it.

The fixtures are in `tests/service/conftest.py`: `postgres_url` and `sqlite_url` are empty databases, `database_url` is
each of the two in turn. A server is started once per session and only if a test asks for it.
"""

import os
import shutil
import subprocess
import tempfile
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg
from psycopg import sql

USER = "postgres"
# Nothing has to survive a power cut, and no port is taken: other tests run beside this one.
SETTINGS = {"fsync": "off", "full_page_writes": "off", "synchronous_commit": "off", "listen_addresses": ""}


class Postgres:
    """A running server, and fresh databases on it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    @contextmanager
    def fresh(self, template: str = "template0") -> Iterator[str]:
        """The address of a new database, a copy of `template`; it is gone when the block ends."""
        name = f"t{uuid.uuid4().hex}"
        self.run("CREATE DATABASE {} TEMPLATE {}", name, template)
        try:
            yield self.url(name)
        finally:
            self.run("DROP DATABASE {} WITH (FORCE)", name)

    def url(self, name: str) -> str:
        """The address of a database on this server."""
        return f"postgresql+psycopg://{USER}@/{name}?host={self.folder}"

    def run(self, statement: Any, *names: str) -> None:
        """Run a statement about whole databases."""
        with psycopg.connect(host=str(self.folder), user=USER, dbname="postgres", autocommit=True) as connection:
            connection.execute(sql.SQL(statement).format(*map(sql.Identifier, names)))


@contextmanager
def started_postgres() -> Iterator[Postgres]:
    """A PostgreSQL that ends with the block. Its folder is short, because a socket's path may have 107 bytes."""
    folder = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))
    data = folder / "data"
    try:
        if os.geteuid() == 0:
            shutil.chown(folder, USER)
        _postgres("initdb", "--pgdata", data, "--username", USER, "--auth", "trust", "--no-sync", "--locale", "C.UTF-8")
        options = " ".join(f"-c {name}='{value}'" for name, value in SETTINGS.items())
        options += f" -c unix_socket_directories='{folder}'"
        _postgres("pg_ctl", "start", "--wait", "--pgdata", data, "--log", folder / "log", "--options", options)
        try:
            yield Postgres(folder)
        finally:
            _postgres("pg_ctl", "stop", "--wait", "--mode", "immediate", "--pgdata", data)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _postgres(program: str, *arguments: object) -> None:
    """Run one of PostgreSQL's programs. It refuses to run as root, so root runs it as its own user."""
    found = shutil.which(program, path=os.pathsep.join([*_newest_first(), os.environ.get("PATH", os.defpath)]))
    if found is None:
        raise FileNotFoundError(f"{program} is not installed: these tests need the system package postgresql")
    as_user: dict[str, Any] = {"user": USER, "group": USER, "extra_groups": []} if os.geteuid() == 0 else {}
    done = subprocess.run(
        [found, *map(str, arguments)],
        cwd="/",
        check=False,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,  # a pipe would stay open for as long as the server runs
        stderr=subprocess.DEVNULL if program == "pg_ctl" else subprocess.PIPE,
        text=True,
        **as_user,
    )
    if done.returncode:
        raise RuntimeError(f"{program} ended with {done.returncode}: {done.stderr or 'see its log'}")


def _newest_first() -> list[str]:
    """Where Debian keeps PostgreSQL's programs, outside the path."""
    return [str(folder) for folder in sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)]
