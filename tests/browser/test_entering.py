"""Coming in and going out, in a real browser."""

import re

from playwright.sync_api import expect
from pyotp import TOTP

from service.access.links import revoke_links
from tests.browser.conftest import Visits
from tests.browser.looks import assert_accessible, look, take_pictures
from tests.browser.site import PASSWORD, Site

OTPAUTH = re.compile(r"^otpauth://totp/Plumbrep:coach%40northside\?secret=[A-Z2-7]{32}&issuer=Plumbrep$")


def test_a_coach_signs_in_and_out_by_keyboard(visit: Visits, site: Site) -> None:
    coach = site.home.coach
    site.give_password(coach)
    page = visit("/sign-in?next=/offline", "desktop").page
    press = page.keyboard.press
    press("Tab")
    expect(page.get_by_text("Skip to the content")).to_be_focused()
    press("Enter")
    press("Tab")
    expect(page.get_by_label("Login")).to_be_focused()
    page.keyboard.type(str(coach.login))
    press("Tab")
    page.keyboard.type(PASSWORD)
    press("Enter")
    page.wait_for_url(f"{site.url}/offline")
    page.goto("/review")
    expect(page.get_by_text(f"{coach.name}, Northside")).to_be_visible()
    page.get_by_role("button", name="Sign out").focus()
    press("Enter")
    expect(page.get_by_role("status").first).to_have_text("You are signed out.")
    assert page.context.cookies() == []


def test_a_wrong_password_is_told(visit: Visits) -> None:
    visited = visit("/sign-in")
    visited.watch.expect("status of 401")
    page = visited.page
    page.get_by_label("Login").fill("coach@northside")
    page.get_by_label("Password").fill("wrong horse")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_have_text("That did not work: the login or the password is wrong.")
    expect(page.get_by_label("Login")).to_have_value("coach@northside")
    expect(page.get_by_label("Password")).to_have_value("")
    expect(page.get_by_label("Password")).to_be_focused()
    assert_accessible(page)
    take_pictures(page, "sign-in")


def test_a_link_lets_an_athlete_in_and_leaves_the_address(visit: Visits, site: Site) -> None:
    page = visit(site.link(site.home.athlete)).page
    page.wait_for_url(f"{site.url}/me")
    assert [each["httpOnly"] for each in page.context.cookies()] == [True]
    page.go_back()
    assert "#" not in page.url


def test_a_link_that_was_revoked_is_told(visit: Visits, site: Site) -> None:
    address = site.link(site.home.athlete)
    with site.parts.database.session() as records:
        revoke_links(records, site.home.athlete.id)
    visited = visit(address)
    visited.watch.expect("status of 401")
    page = visited.page
    expect(page.get_by_role("heading", name="This link does not count any more")).to_be_focused()
    assert page.url == f"{site.url}/in"
    assert_accessible(page)
    take_pictures(page, "expired")


def test_a_link_can_be_tried_again_after_the_connection_was_lost(visit: Visits, site: Site) -> None:
    visited = visit("/offline")
    visited.watch.expect("Failed to load resource")
    page = visited.page
    page.route("**/api/v1/link", lambda route: route.abort())
    page.goto(site.link(site.home.athlete))
    expect(page.get_by_text("No connection to the service.")).to_be_visible()
    page.unroute_all()
    page.get_by_role("button", name="Try again").click()
    page.wait_for_url(f"{site.url}/me")


def test_a_coach_takes_a_password_by_an_invitation(visit: Visits, site: Site) -> None:
    visited = visit(site.invitation(site.home.coach), "desktop")
    visited.watch.expect("status of 422")
    page = visited.page
    password = page.get_by_label("New password")
    password.fill("short")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_have_text(
        "A password needs 12 characters or more; three or four words will do."
    )
    expect(password).to_be_focused()
    assert_accessible(page)
    password.fill(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(f"{site.url}/review")


def test_a_coach_with_a_second_factor_needs_its_code(visit: Visits, site: Site) -> None:
    """By an invitation too, or it would be a way round."""
    factor = site.give_factor(site.home.coach)
    visited = visit(site.invitation(site.home.coach), "desktop")
    visited.watch.expect("status of 401")
    page = visited.page
    page.get_by_label("New password").fill(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_have_text("The six digits that the app on your phone shows are needed too.")
    page.get_by_label("Code").fill(factor.now())
    page.keyboard.press("Enter")
    page.wait_for_url(f"{site.url}/review")


def test_a_coach_sets_up_a_second_factor(visit: Visits, site: Site) -> None:
    site.give_password(site.home.coach)
    page = visit("/review", "desktop", site.home.coach).page
    page.get_by_role("link", name="Account").click()
    look(page, "account")
    page.get_by_label("Current password").first.fill(PASSWORD)
    page.get_by_role("button", name="Set up a second factor").click()
    expect(page.get_by_role("link", name="Open it in the app on this phone")).to_have_attribute("href", OTPAUTH)
    look(page, "account-key")
    page.get_by_label("The six digits").fill(TOTP(page.locator("code").inner_text().replace(" ", "")).now())
    page.get_by_role("button", name="Ask for a code from now on").click()
    expect(page.get_by_role("status").first).to_contain_text("From now on signing in asks for a code.")
    look(page, "account-with-factor")
