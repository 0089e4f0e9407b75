"""Alembic's entry. It is given a connection in a transaction of its own by `service.records.migrate`, and nothing else."""

from typing import Any, Literal

from alembic import context

from service.records import Base
from service.records.base import UtcTime


def only_ours(name: str | None, kind: str, _parents: Any) -> bool:
    """Whether a table is one of these: the queue keeps tables of its own in the same database."""
    return kind != "table" or name in Base.metadata.tables


def render(kind: str, thing: Any, _autogenerate: Any) -> str | Literal[False]:
    """Write types of ours as what they are in the database: a migration must not change with the code."""
    return "sa.DateTime(timezone=True)" if kind == "type" and isinstance(thing, UtcTime) else False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    include_name=only_ours,
    render_item=render,
    render_as_batch=True,
    transactional_ddl=True,
)
context.run_migrations()
