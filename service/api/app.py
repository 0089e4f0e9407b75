"""The app: everything put together."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import APIRouter, Depends, FastAPI

from service.api import problems
from service.api.headers import SecurityHeaders
from service.api.hosts import KnownHosts
from service.api.idempotency import AnsweredBefore, answer_again, once
from service.api.openapi import describe
from service.api.routes.clip_files import clip_files
from service.api.routes.clips import clips, sending
from service.api.routes.consents import consents
from service.api.routes.demand import demand
from service.api.routes.gym import gym
from service.api.routes.keys import keys
from service.api.routes.links import links
from service.api.routes.movements import movements
from service.api.routes.notes import notes
from service.api.routes.pain import pain
from service.api.routes.paths import paths
from service.api.routes.people import people
from service.api.routes.prescriptions import prescriptions
from service.api.routes.problems import kinds
from service.api.routes.progress import progress
from service.api.routes.results import results
from service.api.routes.review import review
from service.api.routes.sessions import entering, sessions
from service.api.routes.uploads import uploads
from service.api.routes.webhooks import webhooks
from service.api.sizes import BodySizes
from service.api.state import Parts
from service.jobs.dbos_queue import DbosQueue, prepare
from service.jobs.port import JobQueue
from service.pages.mount import add_pages
from service.records.database import Database
from service.settings import Settings
from service.store import open_store

PREFIX = "/api/v1"
OPEN = (kinds, entering, sending, uploads, clip_files, progress)
"""What asks for itself who comes."""
CLOSED = (
    sessions,
    gym,
    people,
    links,
    consents,
    pain,
    prescriptions,
    movements,
    demand,
    paths,
    clips,
    results,
    review,
    notes,
    keys,
    webhooks,
)


def create_app(settings: Settings, queue: JobQueue | None = None) -> FastAPI:
    """The app on the database, the store and the queue that the settings name.

    Args:
        settings: Where everything is, and how it is reached.
        queue: The queue to put clips into, where the process has one already.
    """
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=f"{PREFIX}/openapi.json", lifespan=_end_with_app)
    furnish(app, settings, queue)
    app.include_router(_under(PREFIX))
    problems.install(app)
    app.add_exception_handler(AnsweredBefore, answer_again)
    add_pages(app)
    app.add_middleware(BodySizes, settings=settings)
    app.add_middleware(KnownHosts, settings=settings)
    app.add_middleware(SecurityHeaders, settings=settings)
    describe(app)
    return app


def furnish(app: FastAPI, settings: Settings, queue: JobQueue | None = None) -> None:
    """Give an app its database, its store and its queue; what was opened here ends when the app does."""
    app.state.own_queue = None
    if queue is None:
        prepare(settings)
        queue = app.state.own_queue = DbosQueue(settings)
    app.state.parts = Parts(settings, Database(settings.database_url), open_store(settings), queue)


@asynccontextmanager
async def _end_with_app(app: FastAPI) -> AsyncIterator[None]:
    yield
    app.state.parts.database.engine.dispose()
    if app.state.own_queue is not None:
        app.state.own_queue.close()


def _under(prefix: str) -> APIRouter:
    api = APIRouter(prefix=prefix)
    for router in OPEN:
        api.include_router(router)
    for router in CLOSED:
        api.include_router(router, dependencies=[Depends(once)])
    return api
