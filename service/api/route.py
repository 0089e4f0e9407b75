"""How every route answers: with an entity tag where there is a state, and kept where it must not be done twice."""

from collections.abc import Callable, Coroutine
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.params import Form
from fastapi.routing import APIRoute

from service.api import idempotency
from service.api.etags import tagged
from service.api.problems import Problem


class Route(APIRoute):
    """A route whose answers carry ETags, and whose POSTs can be sent again."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """The handler, with what is common to all around it; the transaction ends after it."""
        handle = super().get_route_handler()

        needs_json = self.body_field is not None and not isinstance(self.body_field.field_info, Form)

        async def around(request: Request) -> Response:
            if needs_json:
                _require_json(request)
            response = await handle(request)
            await run_in_threadpool(idempotency.keep, request, response)
            return tagged(request, response)

        return around


def _require_json(request: Request) -> None:
    """Refuse a body that is not said to be JSON, instead of calling its fields missing.

    Raises:
        Problem: 415.
    """
    said = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if said != "application/json" and not (said.startswith("application/") and said.endswith("+json")):
        raise Problem(415, "Content-Type must be application/json.")


def router(tag: str) -> APIRouter:
    """A router whose operations stand under one heading of the OpenAPI document."""
    return APIRouter(route_class=Route, tags=[tag])
