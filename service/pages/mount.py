"""Puts the pages into the app."""

from fastapi import FastAPI

from service.pages import errors
from service.pages.account import account
from service.pages.athlete.routes import athlete
from service.pages.coach.athletes import athletes
from service.pages.coach.planning import planning
from service.pages.coach.reviewing import reviewing
from service.pages.entering import entering
from service.pages.static import static

ROUTERS = (entering, account, athlete, reviewing, athletes, planning, static)


def add_pages(app: FastAPI) -> None:
    """Add all pages, and let errors be told as pages."""
    for router in ROUTERS:
        app.include_router(router)
    errors.install(app)
