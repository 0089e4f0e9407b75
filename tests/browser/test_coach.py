"""The coach's pages in a real browser, at a desktop's size."""

import re
from datetime import timedelta

import numpy as np
import pytest
from playwright.sync_api import FloatRect, Locator, Page, expect
from sqlalchemy import select

from models.document import Document
from service.api.sampling import is_drawn
from service.jobs.series import read_series
from service.records import Clip, Correction, Effort, Note, PainReport, Person, Prescription, Ruling, now
from tests.browser.conftest import Visits
from tests.browser.filmed import PLAN, Filmed, measured_sample, put
from tests.browser.looks import assert_accessible, take_pictures
from tests.browser.site import PASSWORD, Site
from tests.by_hand import push_ups, rep

NOT_THERE = "status of 409"
"""Clips written by hand have no files to be played."""


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


def ten_missed() -> Document:
    """A set of ten push-ups with one fault."""
    document = push_ups()
    reps = tuple(rep(n, 5.0 * n, 2.0, "missed") for n in range(1, 11))
    only = document.sets[0].model_copy(update={"reps": reps, "end": 60.0})
    clip = document.clip.model_copy(update={"seconds": 70.0, "frames": 2100})
    return document.model_copy(update={"sets": (only,), "clip": clip})


def efforts_of(site: Site, clip: Clip) -> list[Effort]:
    with site.parts.database.session() as records:
        return list(records.scalars(select(Effort).where(Effort.clip_id == clip.id).order_by(Effort.start)))


def shown(page: Page) -> int:
    """The rep that the page shows."""
    return int(page.locator("#effort").get_attribute("data-effort") or 0)


def seen_clip(page: Page) -> None:
    """Wait until clip and plots can be worked with."""
    expect(page.locator(".u-over .now")).to_have_count(3)
    page.wait_for_function("() => document.querySelector('#video').readyState >= 2")


def cursors(page: Page) -> list[float]:
    return [float(each) for each in page.locator(".u-over .now").evaluate_all("all => all.map(e => e.dataset.moment)")]


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
    efforts = [each for clip in clips for each in efforts_of(site, clip)]
    assert set(rulings) == {each.id for each in efforts}
    assert {each.id for each in efforts if is_drawn(each)} == {n for n, each in rulings.items() if each.blind}
    assert 0 < sum(each.blind for each in rulings.values()) < 20


def test_ten_reps_with_one_fault_take_one_key_and_are_taken_back(visit: Visits, site: Site) -> None:
    clip = site.measured(site.home.athlete, ten_missed(), version=site.prescription(site.home.athlete))
    efforts = efforts_of(site, clip)
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
    assert {each.id for each in efforts_of(site, clip) if each.ruling == "missed"} == set(seen)
    press("u")
    expect(page.locator("#last")).to_have_text("Taken back.")
    assert {each.id for each in efforts_of(site, clip) if each.ruling} == {seen[0]}
    page.get_by_label("One-key rulings are on").uncheck()
    page.locator("h1").click()
    press("x")
    assert {each.id for each in efforts_of(site, clip) if each.ruling} == {seen[0]}


def test_cursor_and_clip_are_locked_both_ways(visit: Visits, site: Site, clip: Clip, filmed: Filmed) -> None:
    times = read_series(filmed.folder.series).time
    page = visit(f"/review/{clip.id}", "desktop", site.home.coach).page
    seen_clip(page)
    over = page.locator(".plot .u-over").first
    over.scroll_into_view_if_needed()
    box = over.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 10)
    page.wait_for_function(
        "() => document.querySelector('.now').dataset.moment > 1.5 && !document.querySelector('#video').seeking"
    )
    moments = cursors(page)
    at = float(page.evaluate("document.querySelector('#video').currentTime"))
    frame = int(np.searchsorted(times, at, side="right")) - 1
    assert moments == [pytest.approx(times[frame], abs=1e-4)] * 3
    assert page.locator("#moment").inner_text() == f"{times[frame]:.2f} s"
    page.keyboard.press("ArrowRight")
    page.wait_for_function("before => document.querySelector('.now').dataset.moment > before + 0.001", arg=moments[0])
    assert cursors(page) == [pytest.approx(times[frame + 1], abs=1e-4)] * 3
    page.keyboard.press("Space")
    page.wait_for_function("before => document.querySelector('.now').dataset.moment > before + 0.3", arg=moments[0])
    page.keyboard.press("Space")
    page.wait_for_function("() => document.querySelector('#video').paused")
    assert all(np.min(np.abs(times - moment)) < 1e-4 for moment in cursors(page))


def begin_of_lowering(page: Page) -> tuple[Locator, FloatRect]:
    """What is dragged, and where it is."""
    handle = page.get_by_role("slider", name="lowering begins")
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    assert box is not None
    return handle, box


def test_a_boundary_is_dragged_and_measured_again(visit: Visits, site: Site, clip: Clip, filmed: Filmed) -> None:
    effort = efforts_of(site, clip)[0]
    times = read_series(filmed.folder.series).time
    page = visit(f"/review/{effort.set_id}?effort={effort.id}", "desktop", site.home.coach).page
    seen_clip(page)
    handle, box = begin_of_lowering(page)
    page.mouse.move(box["x"] + 12, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] - 8, box["y"] + 20, steps=5)
    page.mouse.up()
    expect(page.locator("#tempo thead")).to_contain_text("After your correction")
    with site.parts.database.session() as records:
        made = records.scalars(select(Correction)).one()
    moved = made.boundaries["lowering.start"]
    assert moved < effort.start
    assert np.min(np.abs(times - moved)) < 1e-6
    lowering = page.locator("#tempo tr").filter(has_text="lowering")
    machine = float(effort.lowering_s or 0)
    expect(lowering).to_contain_text(f"{machine:.2f} ±")
    expect(lowering).to_contain_text(f"{machine + effort.start - moved:.2f} ±")
    with page.expect_response("**/corrections") as answer:
        handle.focus()
        page.keyboard.press("ArrowRight")
    assert answer.value.status == 201
    with site.parts.database.session() as records:
        both = list(records.scalars(select(Correction.boundaries).order_by(Correction.made)))
    assert both[1]["lowering.start"] == pytest.approx(times[np.searchsorted(times, moved + 1e-6)])


def test_a_boundary_is_dragged_by_touch(visit: Visits, site: Site, clip: Clip) -> None:
    effort = efforts_of(site, clip)[0]
    page = visit(f"/review/{effort.set_id}?effort={effort.id}", "phone", site.home.coach).page
    seen_clip(page)
    _, box = begin_of_lowering(page)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    finger = page.context.new_cdp_session(page)
    for kind, at in (("touchStart", x), ("touchMove", x - 4), ("touchMove", x - 8), ("touchEnd", None)):
        points = [] if at is None else [{"x": at, "y": y}]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    expect(page.locator("#tempo thead")).to_contain_text("After your correction")
    with site.parts.database.session() as records:
        made = records.scalars(select(Correction)).one()
    assert made.boundaries["lowering.start"] < effort.start


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
    effort = efforts_of(site, clip)[0]
    with site.parts.database.session() as records:
        records.get_one(Effort, effort.id).ruling = "missed"
    return clip


@pytest.mark.parametrize("name", ["queue", "set", "athletes", "athlete", "agreement"])
def test_the_screens_are_accessible(visit: Visits, site: Site, ruled: Clip, name: str) -> None:
    athlete, effort = site.home.athlete, efforts_of(site, ruled)[0]
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


def test_an_athlete_is_told_that_review_is_not_for_them(visit: Visits, site: Site) -> None:
    visited = visit("/review", "desktop", site.home.athlete)
    visited.watch.expect("status of 403")
    expect(visited.page.get_by_role("heading", name="Not for you")).to_be_visible()
    foreign = visit(f"/athletes/{site.home.athlete.id}", "desktop", site.away.coach)
    foreign.watch.expect("status of 404")
    expect(foreign.page.get_by_role("heading", name="Nothing here")).to_be_visible()
