"""The coach's pages in a real browser, at a desktop's size."""

import re
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy import select

from models.document import Document
from service.api.sampling import is_drawn
from service.records import Clip, Effort, Note, PainReport, Prescription, Ruling, now
from tests.browser.conftest import Visits
from tests.browser.filmed import PLAN, Filmed, put
from tests.browser.looks import SMALL, assert_accessible, seen_clip, take_pictures
from tests.browser.site import PASSWORD, Site
from tests.by_hand import push_ups, rep

NOT_THERE = "status of 409"
"""Clips written by hand have no files to be played."""


def ten_missed() -> Document:
    """A set of ten push-ups with one fault."""
    document = push_ups()
    reps = tuple(rep(n, 5.0 * n, 2.0, "missed") for n in range(1, 11))
    only = document.sets[0].model_copy(update={"reps": reps, "end": 60.0})
    clip = document.clip.model_copy(update={"seconds": 70.0, "frames": 2100})
    return document.model_copy(update={"sets": (only,), "clip": clip})


def shown(page: Page) -> int:
    """The rep that the page shows."""
    return int(page.locator("#effort").get_attribute("data-effort") or 0)


def test_a_coach_signs_in_and_rules_twenty_reps_by_keyboard(visit: Visits, site: Site) -> None:
    version = site.prescription(site.home.athlete)
    clips = [site.measured(site.home.athlete, ten_missed(), version=version) for _ in range(2)]
    site.give_password(site.home.coach)
    visited = visit("/sign-in", "desktop")
    visited.watch.expect(NOT_THERE)
    page, press = visited.page, visited.page.keyboard.press
    page.get_by_label("Login").focus()
    page.keyboard.type(str(site.home.coach.login))
    press("Tab")
    page.keyboard.type(PASSWORD)
    press("Enter")
    page.wait_for_url(f"{site.url}/review")
    first = page.get_by_role("link", name="athlete of Northside").first
    while not first.evaluate("link => link === document.activeElement"):
        press("Tab")
    press("Enter")
    page.wait_for_url(re.compile(r"/review/\d+"))
    for n in range(20):
        effort = shown(page)
        blind = page.get_by_text("The machine's verdict shows when you have ruled.").is_visible()
        assert page.locator("#machine").count() == (0 if blind else 1)
        press("x" if n % 2 else "m")
        if blind:
            expect(page.locator("#machine")).to_have_text("missed")
            assert shown(page) == effort
            press("j")
        page.wait_for_function("id => document.querySelector('#effort')?.dataset.effort != id", arg=str(effort))
        if n == 9:
            page.wait_for_function("() => document.querySelector('[data-waits=\"1\"]')")
        if n == 19:
            break
    page.wait_for_url(f"{site.url}/review")
    expect(page.get_by_text("Nothing waits for you.")).to_be_visible()
    with site.parts.database.session() as records:
        rulings = {each.effort_id: each for each in records.scalars(select(Ruling))}
    efforts = [each for clip in clips for each in site.efforts(clip)]
    assert set(rulings) == {each.id for each in efforts}
    assert {each.id for each in efforts if is_drawn(each)} == {n for n, each in rulings.items() if each.blind}
    drawn = sum(each.blind for each in rulings.values())
    assert 0 < drawn < 20
    page.goto("/agreement")
    expect(page.get_by_role("row", name="Whole reps and holds").get_by_role("cell").first).to_have_text(str(drawn))


def test_ten_reps_with_one_fault_take_one_key_and_are_taken_back(visit: Visits, site: Site) -> None:
    clip = site.measured(site.home.athlete, ten_missed(), version=site.prescription(site.home.athlete))
    efforts = site.efforts(clip)
    seen = [each.id for each in efforts if not is_drawn(each)]
    visited = visit(f"/review/{efforts[0].set_id}?effort={seen[0]}", "desktop", site.home.coach)
    visited.watch.expect(NOT_THERE)
    page, press = visited.page, visited.page.keyboard.press
    expect(page.locator("#evidence-fault")).to_be_visible()
    press("g")
    expect(page.locator("#last")).to_contain_text("Rule on one rep first")
    press("x")
    expect(page.locator("#efforts").get_by_text("ruled missed")).to_have_count(1)
    page.goto(f"/review/{efforts[0].set_id}?effort={seen[1]}")
    expect(page.locator("#evidence-fault")).to_be_visible()
    press("Shift+X")
    expect(page.locator("#last")).to_contain_text(f"{len(seen) - 1} ruled missed.")
    assert {each.id for each in site.efforts(clip) if each.ruling == "missed"} == set(seen)
    press("u")
    expect(page.locator("#last")).to_have_text("Taken back.")
    assert {each.id for each in site.efforts(clip) if each.ruling} == {seen[0]}
    page.get_by_label("One-key rulings are on").uncheck()
    page.locator("h1").click()
    press("x")
    assert {each.id for each in site.efforts(clip) if each.ruling} == {seen[0]}


def test_a_note_is_typed_and_a_missing_rep_marked(visit: Visits, site: Site, clip: Clip) -> None:
    page = visit(f"/review/{clip.id}", "desktop", site.home.coach).page
    seen_clip(page)
    page.keyboard.press("t")
    expect(page.get_by_label("Note to the athlete")).to_be_focused()
    page.keyboard.type("Slower down, x and m are only letters here")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".said")).to_contain_text("Slower down")
    page.locator("h1").click()
    page.keyboard.press("r")
    expect(page.locator("#last")).to_contain_text("was noted as missing")
    with site.parts.database.session() as records:
        note, ruling = records.scalars(select(Note)).one(), records.scalars(select(Ruling)).one()
    assert (note.clip_id, note.athlete_id) == (clip.id, site.home.athlete.id)
    assert ruling.ruling == "missing rep"
    assert ruling.start is not None
    assert ruling.end is not None
    assert 0 <= ruling.start < ruling.end <= clip.seconds + 2


@pytest.mark.usefixtures("clip")
def test_a_step_is_planned_and_prescribed(visit: Visits, site: Site) -> None:
    athlete = site.home.athlete
    page = visit(f"/athletes/{athlete.id}/plan?by=body-angle", "desktop", site.home.coach).page
    slider = page.get_by_role("slider", name="Body angle")
    expect(slider).to_be_visible(timeout=60_000)
    before = page.locator("#asked").inner_text()
    slider.focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("#asked")).not_to_have_text(before)
    told = page.locator("#asked").inner_text()
    assert re.fullmatch(r"[\d.]+°: [\d.]+ ±[\d.]+ % of body weight at the hands", told)
    page.get_by_role("button", name="Prescribe this").click()
    text = page.get_by_label("Prescription (TOML)")
    expect(text).to_have_value(re.compile(rf"body_angle = {told.partition('°')[0]}\n"))
    page.get_by_label("Goal").fill("push-up")
    page.get_by_label("Owned now").fill("push-up body_angle=30")
    page.get_by_role("button", name="Lay the steps").click()
    expect(page.get_by_role("button", name="Prescribe step 1")).to_be_visible(timeout=60_000)
    assert_accessible(page)
    take_pictures(page, "coach-plan")
    page.set_viewport_size({"width": 390, "height": 844})
    assert_accessible(page)
    page.set_viewport_size({"width": 1280, "height": 800})
    page.get_by_role("button", name="Prescribe", exact=True).click()
    page.wait_for_url(f"{site.url}/athletes/{athlete.id}")
    with site.parts.database.session() as records:
        texts = [each.versions[-1].text for each in records.scalars(select(Prescription))]
    assert any(f"body_angle = {told.partition('°')[0]}" in each for each in texts)


@pytest.mark.usefixtures("clip")
def test_a_faulty_prescription_is_told_at_its_line(visit: Visits, site: Site) -> None:
    visited = visit(f"/athletes/{site.home.athlete.id}", "desktop", site.home.coach)
    visited.watch.expect("status of 422")
    page = visited.page
    page.get_by_text("Change it").click()
    text = page.get_by_label("Prescription (TOML)").first
    text.fill('movement = "push-up"\nsets = 1\nreps = "many"\n')
    page.get_by_role("button", name="Save as a new version").click()
    expect(page.get_by_role("alert")).to_contain_text("line 3")
    expect(text).to_be_focused()
    selected = text.evaluate("area => area.value.slice(area.selectionStart, area.selectionEnd)")
    assert selected == 'reps = "many"'
    text.fill('movement = "push-up"\nsets = 1\nreps = 4\n')
    page.get_by_role("button", name="Save as a new version").click()
    expect(page.get_by_text("Version 2 of")).to_be_visible()


def test_pain_is_cleared_and_a_link_made_and_revoked(visit: Visits, site: Site) -> None:
    athlete = site.home.athlete
    with site.parts.database.session() as records:
        records.add(PainReport(gym_id=athlete.gym_id, athlete_id=athlete.id, text="Left wrist"))
    page = visit("/athletes", "desktop", site.home.coach).page
    expect(page.get_by_role("row").filter(has_text="reported, not cleared")).to_have_count(1)
    page.get_by_role("link", name=athlete.name, exact=True).click()
    page.get_by_role("button", name="Clear it").click()
    expect(page.get_by_text("cleared on")).to_be_visible()
    page.get_by_role("button", name="Make a link").click()
    address = page.get_by_label("Send this to the athlete.")
    expect(address).to_have_value(re.compile(rf"{site.url}/in#\S+"))
    page.reload()
    page.get_by_role("button", name="Revoke").click()
    expect(page.get_by_role("button", name="Revoke")).to_have_count(0)


@pytest.fixture
def ruled(site: Site, clip: Clip) -> Clip:
    """A clip of which a rep is ruled, so that its verdicts show."""
    effort = site.efforts(clip)[0]
    with site.parts.database.session() as records:
        records.get_one(Effort, effort.id).ruling = "missed"
    return clip


@pytest.mark.parametrize("name", ["queue", "set", "athletes", "athlete", "agreement"])
def test_the_screens_are_accessible(visit: Visits, site: Site, ruled: Clip, name: str) -> None:
    athlete, effort = site.home.athlete, site.efforts(ruled)[0]
    places = {
        "queue": "/review",
        "set": f"/review/{effort.set_id}?effort={effort.id}",
        "athletes": "/athletes",
        "athlete": f"/athletes/{athlete.id}",
        "agreement": "/agreement",
    }
    page = visit(places[name], "desktop", site.home.coach).page
    if name == "set":
        seen_clip(page)
    if name == "athlete":
        expect(page.get_by_role("region", name="Demand over time")).to_be_visible(timeout=60_000)
    assert_accessible(page)
    take_pictures(page, f"coach-{name}")
    page.set_viewport_size({"width": 390, "height": 844})
    assert_accessible(page)


def test_an_athletes_page_tells_how_it_went(visit: Visits, site: Site, ruled: Clip, filmed: Filmed) -> None:
    athlete, effort = site.home.athlete, site.efforts(ruled)[0]
    rulings = {"effort": effort.id, "ruling": "missed", "note": "Far too fast."}
    assert site.client(site.home.coach).post(f"/api/v1/clips/{ruled.id}/rulings", json=rulings).is_success
    put(site, filmed, athlete, site.prescription(athlete, PLAN), now() - timedelta(days=8))
    page = visit(f"/athletes/{athlete.id}", "phone", site.home.coach).page
    for trend, unit in (("lowering time", " s"), ("body angle, limbs bent", "°")):
        table = page.get_by_role("region", name=trend)
        expect(table.locator("tbody tr")).to_have_count(2)
        expect(table.locator("tbody tr").first).to_contain_text(re.compile(rf"3\s*[\d.]+ ±[\d.]+{unit}"))
    expect(page.locator(".trend canvas")).to_have_count(3, timeout=60_000)
    asked = page.get_by_role("region", name="Push-up: Demand over time").locator("tbody tr").first
    expect(asked).to_contain_text(re.compile(r"Push-up\s*[\d.]+ ±[\d.]+\s*100.0 ±0.0"))
    for line in page.locator(".trend canvas").all():
        assert line.evaluate("c => c.width > 200 && c.height > 100")
    expect(page.get_by_role("listitem").filter(has_text="rep 1: missed, Far too fast.")).to_be_visible()
    expect(page.get_by_text("1 x 3, 3-0-1-0").first).to_be_visible()
    assert_accessible(page)
    assert page.evaluate(SMALL) == []


def test_an_athlete_is_told_that_review_is_not_for_them(visit: Visits, site: Site) -> None:
    visited = visit("/review", "desktop", site.home.athlete)
    visited.watch.expect("status of 403")
    expect(visited.page.get_by_role("heading", name="Not for you")).to_be_visible()
    foreign = visit(f"/athletes/{site.home.athlete.id}", "desktop", site.away.coach)
    foreign.watch.expect("status of 404")
    expect(foreign.page.get_by_role("heading", name="Nothing here")).to_be_visible()
