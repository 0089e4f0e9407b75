"""The athlete's pages where there is no network: a gym's cellar."""

import re
from threading import Event
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from service.access.links import revoke_links
from service.records import Person
from tests.browser.conftest import PATIENT, Visit, Visits
from tests.browser.looks import PATIENCE, READY, look
from tests.browser.ready import PLAN
from tests.browser.site import Site

KEPT = """async () => {
    const pages = await (await caches.open("plumbrep-pages")).keys();
    return pages.map((page) => page.url.replace(location.origin, "")).sort();
}"""
ALL_KEPT = """async () => {
    const caches_ = await Promise.all((await caches.keys()).map((name) => caches.open(name)));
    const kept = await Promise.all(caches_.map((cache) => cache.keys()));
    return kept.flat().map((request) => new URL(request.url).pathname);
}"""
NO_NETWORK = "ERR_INTERNET_DISCONNECTED"


def visit_and_keep(visit: Visits, site: Site, athlete: Person, **more: Any) -> tuple[Visit, list[str]]:
    """A phone that has opened the first page by its link, and what it is then to keep."""
    plan = site.prescription(athlete, PLAN)
    visited = visit(site.link(athlete), service_workers="allow", **more)
    visited.watch.expect(NO_NETWORK)
    visited.page.wait_for_url(f"{site.url}/me")
    pages = ["/me", "/me/film", f"/me/film?plan={plan.prescription_id}"]
    until_kept(visited.page, pages)
    return visited, pages


def until_kept(page: Page, pages: list[str]) -> None:
    for _ in range(PATIENCE // 100):
        if page.evaluate(KEPT) == pages:
            return
        page.wait_for_timeout(100)
    assert page.evaluate(KEPT) == pages


def test_a_set_is_filmed_without_a_network_and_sent_when_it_is_back(visit: Visits, site: Site, athlete: Person) -> None:
    visited, pages = visit_and_keep(visit, site, athlete, permissions=["camera"])
    page = visited.page
    page.context.set_offline(True)
    page.reload()
    page.wait_for_function(READY)
    expect(page.get_by_text("1 set of 3 reps")).to_be_visible()
    expect(page.get_by_text("No connection. You can film all the same")).to_be_visible()
    look(page, "today-offline")
    page.goto(pages[-1])
    page.reload()
    page.wait_for_function(READY)
    page.get_by_role("button", name="Open the camera").click()
    page.get_by_label("Countdown").select_option("3")
    page.get_by_role("button", name="Start the countdown").click()
    expect(page.locator("#clock")).to_have_text(re.compile(r"^2 of at most"))
    page.get_by_role("button", name="Stop filming").click()
    page.get_by_role("button", name="Send it").click()
    expect(page.get_by_text("It goes on by itself")).to_be_visible()
    page.reload()
    page.wait_for_function(READY)
    expect(page.get_by_role("heading", name="Not sent yet")).to_be_visible()
    page.context.set_offline(False)
    expect(page.get_by_role("heading", name="Not sent yet")).to_be_hidden(timeout=PATIENT)
    [clip] = site.clips(athlete)
    assert clip.prescription_version_id is not None


def test_nothing_stays_on_the_phone_after_signing_out(visit: Visits, site: Site, athlete: Person) -> None:
    visited, _ = visit_and_keep(visit, site, athlete)
    page = visited.page
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_text("You are signed out.")).to_be_visible()
    assert page.evaluate(KEPT) == []
    page.context.set_offline(True)
    page.goto("/me")
    expect(page.get_by_role("heading", name="No connection")).to_be_visible()


def test_nothing_stays_on_the_phone_after_the_link_was_revoked(visit: Visits, site: Site, athlete: Person) -> None:
    visited, _ = visit_and_keep(visit, site, athlete)
    page = visited.page
    with site.parts.database.session() as records:
        revoke_links(records, athlete.id)
    page.reload()
    page.wait_for_url(f"{site.url}/sign-in**")
    assert page.evaluate(KEPT) == []


def test_who_comes_after_finds_nothing_of_who_was_there(visit: Visits, site: Site, athlete: Person) -> None:
    visited, _ = visit_and_keep(visit, site, athlete)
    page = visited.page
    page.goto(site.link(site.home.other_athlete))
    page.wait_for_url(f"{site.url}/me")
    expect(page.get_by_role("heading", name="Nothing prescribed")).to_be_visible()
    until_kept(page, ["/me", "/me/film"])


def test_only_pages_and_built_files_are_kept(visit: Visits, site: Site, athlete: Person) -> None:
    clip = site.measured(athlete)
    visited, _ = visit_and_keep(visit, site, athlete)
    visited.watch.expect("status of 409")
    page = visited.page
    page.goto(f"/me/clips/{clip.id}")
    expect(page.get_by_role("heading", name="Not checked")).to_be_visible()
    page.goto("/me")
    kept = page.evaluate(ALL_KEPT)
    assert {each for each in kept if not each.startswith("/static/")} == {"/offline", "/me", "/me/film"}
    page.context.set_offline(True)
    page.goto(f"/me/clips/{clip.id}")
    expect(page.get_by_role("heading", name="No connection")).to_be_visible()
    page.get_by_role("link", name="Try again").click()
    expect(page.get_by_text("1 set of 3 reps")).to_be_visible()


def test_a_network_that_does_not_answer_is_not_waited_for(
    visit: Visits, site: Site, athlete: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    visited, _ = visit_and_keep(visit, site, athlete)
    answers = Event()
    with monkeypatch.context() as slow:
        slow.setattr("service.pages.athlete.routes.prescribed", lambda *_: answers.wait(60) and [])
        visited.page.reload()
        expect(visited.page.get_by_text("1 set of 3 reps")).to_be_visible()
        answers.set()
