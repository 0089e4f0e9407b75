"""Gives out scripts, styles and pictures: for a year, since another content has another name."""

from typing import Final

from fastapi import APIRouter, Request, Response

from service.api.problems import Problem
from service.pages.assets import Asset, assets
from service.pages.policy import PAGE

static = APIRouter(include_in_schema=False)

FOR_EVER: Final = "public, max-age=31536000, immutable"
SERVICE_WORKER: Final = "sw.ts"


@static.get("/static/{name}")
def give(name: str, request: Request) -> Response:
    """One file, under the name that the build gave it."""
    found = assets().files.get(name)
    if found is None:
        raise Problem(404)
    kept = "public, max-age=3600" if name == "licences.txt" else FOR_EVER
    return _answer(found, request, kept)


@static.get("/sw.js")
def give_service_worker(request: Request) -> Response:
    """The script that answers without a network: under one name for good, or browsers would not find a newer one."""
    found = assets().files.get(assets().names.get(SERVICE_WORKER, ""))
    if found is None:
        raise Problem(404)
    return _answer(found, request, "no-cache")


def _answer(asset: Asset, request: Request, kept: str) -> Response:
    headers = {"Cache-Control": kept, "Vary": "Accept-Encoding", **PAGE}
    accepted = {each.partition(";")[0].strip() for each in request.headers.get("accept-encoding", "").split(",")}
    if asset.smaller is not None and "br" in accepted:
        return Response(asset.smaller, headers=headers | {"Content-Encoding": "br"}, media_type=asset.media_type)
    return Response(asset.content, headers=headers, media_type=asset.media_type)
