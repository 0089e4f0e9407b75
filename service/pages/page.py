"""Makes a page of a template: with the words, the files and the headers that every page has."""

from functools import cache
from pathlib import Path
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from service.pages import policy
from service.pages.assets import assets
from service.pages.text import LANGUAGE, say, sentence, words_for_scripts
from service.pages.visitors import Visitor

HERE = Path(__file__).parent


def page_router() -> APIRouter:
    """A router for pages, which the API's description leaves out."""
    return APIRouter(include_in_schema=False, default_response_class=HTMLResponse)


def render(
    request: Request, template: str, visitor: Visitor | None = None, *, status: int = 200, **values: Any
) -> HTMLResponse:
    """A page, or with htmx a part of one.

    Args:
        request: What is answered.
        template: Its path in this folder: `athlete/today.html`.
        visitor: Who is signed in; decides what the menu offers, and whether the page may use the camera.
        status: Of the answer.
        values: What the template shows.
    """
    content = templates().get_template(template).render(request=request, visitor=visitor, **values)
    filming = visitor is not None and visitor.actor.kind == "athlete"
    return HTMLResponse(content, status, headers=policy.headers(filming=filming))


@cache
def templates() -> Environment:
    """The templates. Everything shown in them is escaped, and a value that is missing is an error."""
    made = Environment(
        loader=FileSystemLoader(HERE),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(
        language=LANGUAGE,
        say=say,
        words=words_for_scripts,
        address=lambda source: assets().address(source),
        script=lambda source: assets().script(source),
    )
    made.filters["sentence"] = sentence
    return made
