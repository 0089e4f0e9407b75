"""The app as it is served: the API, with what tells of its own running."""

from fastapi import FastAPI

from service.api.app import create_app
from service.running.health import health
from service.running.metrics import metrics
from service.running.watching import Watched
from service.settings import Settings


def served_app(settings: Settings) -> FastAPI:
    """Everything that this process answers."""
    app = create_app(settings)
    app.include_router(health)
    app.include_router(metrics)
    app.add_middleware(Watched)
    return app
