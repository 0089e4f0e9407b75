from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from service.access.browser import cookie
from service.records import Clip, Person, now
from tests.browser.filmed import PLAN, Filmed, measured_sample, put
from tests.browser.looks import CHROMIUM, CONTEXTS, PATIENCE, READY, Profile
from tests.browser.ready import camera_file, ready, ready_handstand
from tests.browser.site import Site, serving
from tests.browser.watching import Watch
from tests.service.api.world import make_empty

__all__ = ["camera_file", "ready", "ready_handstand"]


@dataclass(frozen=True)
class Visit:
    """A browser at the site: its page, and what must not happen there."""

    page: Page
    watch: Watch


Visits = Callable[..., Visit]


PATIENT = 60_000
"""Milliseconds that what the machine has to work for may take, where others are at work too."""


@pytest.fixture(scope="session")
def empty_data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    data = tmp_path_factory.mktemp("browser") / "data"
    data.mkdir()
    make_empty(data)
    return data


@pytest.fixture
def site(empty_data: Path, tmp_path: Path) -> Iterator[Site]:
    with serving(copytree(empty_data, tmp_path / "data")) as served:
        yield served


@pytest.fixture
def athlete(site: Site) -> Person:
    return site.home.athlete


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium(driver: Playwright, camera_file: Path) -> Iterator[Browser]:
    """A browser whose camera sees a sample clip."""
    expect.set_options(timeout=PATIENCE)
    seen = ["--use-fake-device-for-media-stream", f"--use-file-for-fake-video-capture={camera_file}"]
    browser = driver.chromium.launch(timeout=6 * PATIENCE, executable_path=CHROMIUM, args=seen)
    yield browser
    browser.close()


@pytest.fixture
def visit(chromium: Browser, site: Site) -> Iterator[Visits]:
    """Opens a browser at the site, as nobody or signed in. The test fails on any error that the page causes.

    Service workers are blocked, for routes that a test puts in are not asked behind one; `service_workers="allow"` lets them in.
    """
    contexts: list[BrowserContext] = []
    watches: list[Watch] = []

    def open_at(path: str, profile: Profile = "phone", person: Person | None = None, **more: Any) -> Visit:
        look = {"service_workers": "block", "reduced_motion": "reduce"} | CONTEXTS[profile] | more
        context = chromium.new_context(base_url=site.url, locale="en-GB", **look)
        context.set_default_timeout(PATIENCE)
        contexts.append(context)
        if person is not None:
            name = cookie(site.settings)["key"]
            context.add_cookies([{"name": name, "value": site.token(person), "url": site.url, "httpOnly": True}])
        watch = Watch(context, site.url)
        watches.append(watch)
        page = context.new_page()
        page.goto(path)
        page.wait_for_function(READY)
        return Visit(page, watch)

    yield open_at
    for context in contexts:
        context.close()
    assert [wrong for watch in watches for wrong in watch.wrong] == []


@pytest.fixture(scope="session")
def filmed(tmp_path_factory: pytest.TempPathFactory) -> Filmed:
    """A sample clip and what was measured in it."""
    return measured_sample(tmp_path_factory.mktemp("filmed"))


@pytest.fixture
def clip(site: Site, filmed: Filmed) -> Clip:
    """Three push-ups of Ilka's, all lowered too fast."""
    athlete = site.home.athlete
    with site.parts.database.session() as records:
        row = records.get_one(Person, athlete.id)
        row.name, row.height_cm, row.mass_kg, row.sex = "Ilka Born", 172.0, 64.0, "female"
    return put(site, filmed, athlete, site.prescription(athlete, PLAN), now() - timedelta(days=1))
