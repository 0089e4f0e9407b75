"""What is common to all pages."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visits
from tests.browser.looks import assert_accessible, take_pictures

NARROWEST = 320
"""Pixels, at which nothing may need sideways scrolling (WCAG 2.2, 1.4.10)."""


@pytest.mark.parametrize(("path", "title"), [("/nowhere", "Nothing here"), ("/offline", "No connection")])
def test_a_page_of_ours_can_be_used_by_all(visit: Visits, path: str, title: str) -> None:
    visited = visit(path, viewport={"width": NARROWEST, "height": 600})
    visited.watch.expect("status of 404")
    page = visited.page
    expect(page.get_by_role("heading", level=1)).to_have_text(title)
    expect(page).to_have_title(f"{title} - Plumbrep")
    assert_accessible(page)
    take_pictures(page, title)


def test_what_the_watch_is_for_does_not_pass(visit: Visits) -> None:
    visited = visit("/offline")
    visited.page.evaluate("fetch('http://elsewhere.invalid/').catch(() => console.error('no way out'))")
    expect(visited.page.get_by_role("main")).to_be_visible()
    visited.page.evaluate("setTimeout(() => { throw new Error('a fault') })")
    visited.page.wait_for_timeout(200)
    wrong = " ".join(visited.watch.wrong)
    assert all(text in wrong for text in ("Content Security Policy", "no way out", "a fault"))
    visited.watch.expect("")
