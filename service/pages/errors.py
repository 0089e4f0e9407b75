"""Tells errors as pages, to whoever asked for one; programs and scripts get the same as problem details."""

import json
from collections.abc import Awaitable, Callable
from inspect import isawaitable
from typing import Any, Final
from urllib.parse import urlencode

from fastapi import FastAPI, Request
from starlette.responses import RedirectResponse, Response

from service.api.problems import MEDIA_TYPE
from service.pages.page import render
from service.pages.text import all_words, say

NO_PAGES: Final = ("/api/", "/health/", "/metrics", "/static/", "/sw.js")
Handler = Callable[[Any, Any], Response | Awaitable[Response]]


def install(app: FastAPI) -> None:
    """Let every error of the app be told as a page too. To be called after all handlers are there."""
    for kind, handler in list(app.exception_handlers.items()):
        app.add_exception_handler(kind, _also_as_page(handler))


def _also_as_page(handler: Handler) -> Callable[[Any, Any], Awaitable[Response]]:
    async def handle(request: Any, fault: Any) -> Response:
        given = handler(request, fault)
        response = await given if isawaitable(given) else given
        if response.media_type == MEDIA_TYPE and _wants_page(request):
            return error_page(request, response)
        return response

    return handle


def _wants_page(request: Request) -> bool:
    return "text/html" in request.headers.get("accept", "") and not request.url.path.startswith(NO_PAGES)


def error_page(request: Request, told: Response) -> Response:
    """The page that tells what problem details tell; whoever is not signed in is led to where they can."""
    if told.status_code == 401:
        return _to_sign_in(request)
    known = all_words()["common"]["error"]  # type: ignore[index]  # a table of tables
    status = told.status_code
    key = str(status) if str(status) in known else "500" if status >= 500 else "400"
    detail = json.loads(bytes(told.body)).get("detail") if status < 500 else None
    page = render(
        request,
        "common/error.html",
        status=status,
        title=say(f"common.error.{key}.title"),
        about=say(f"common.error.{key}.about"),
        detail=detail,
    )
    if "retry-after" in told.headers:
        page.headers["Retry-After"] = told.headers["retry-after"]
    return page


def _to_sign_in(request: Request) -> Response:
    here = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    address = "/sign-in" if request.method != "GET" or here == "/" else f"/sign-in?{urlencode({'next': here})}"
    if "hx-request" in request.headers:
        return Response(status_code=401, headers={"HX-Redirect": "/sign-in"})
    return RedirectResponse(address, 303, headers={"Cache-Control": "no-store"})
