"""The athlete's result, and what can be done with it."""

import re
from pathlib import Path

from playwright.sync_api import expect
from sqlalchemy import select

from service.records import Clip, PainReport, Person
from service.store import ClipFiles
from tests.browser.conftest import PATIENT, Visits
from tests.browser.looks import READY, assert_accessible, drawn, look, take_pictures, until
from tests.browser.ready import HOLD_PLAN, PLAN, put
from tests.browser.site import Site


def test_the_result_is_read_and_looped_by_keyboard(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, athlete, site.prescription(athlete, PLAN))
    page = visit(f"/me/clips/{clip.id}", person=athlete).page
    lines = page.locator("table.efforts tbody")
    expect(lines).to_have_count(3)
    expect(lines.nth(2)).to_contain_text("2.00 ±0.08")
    expect(lines.nth(2).get_by_text("missed", exact=True)).to_be_visible()
    expect(lines.nth(2)).to_contain_text("missed The lowering took 2.0 s of 3: spread 3 s evenly")
    expect(page.locator("tr.asked")).to_contain_text("3")
    expect(page.get_by_text("elbow flare (film from the front)")).to_be_visible()
    expect(page.locator("#chosen")).to_have_text("Rep 3, looped", timeout=PATIENT)
    look(page, "result")
    page.get_by_role("button", name="Show rep 1").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#chosen")).to_have_text("Rep 1, looped")
    until(page, "document.querySelector('#video').currentTime > 1.2")
    page.locator("#video").focus()
    page.keyboard.press("Space")
    before = page.evaluate("document.querySelector('#video').currentTime")
    assert 0.5 < before < 5.6
    page.keyboard.press("ArrowRight")
    until(page, f"Math.abs(document.querySelector('#video').currentTime - {before}) > 0.01")
    assert abs(page.evaluate("document.querySelector('#video').currentTime") - before) < 0.1
    assert page.evaluate(
        "c => c.getContext('2d').getImageData(0, 0, c.width, c.height).data.some(value => value > 0)",
        page.locator("#overlay").element_handle(),
    )


def test_the_body_line_lies_over_the_clip(visit: Visits, clip: Clip, athlete: Person) -> None:
    """Of a clip that was really measured."""
    page = visit(f"/me/clips/{clip.id}", person=athlete).page
    expect(page.locator("#chosen")).to_have_text("Rep 1, looped", timeout=PATIENT)
    until(page, "document.querySelector('#video').readyState >= 2 && !document.querySelector('#video').seeking")
    assert drawn(page, "#overlay", "#ffd166"), "the body line"
    assert drawn(page, "#overlay", "#9ad1ff"), "the level line"
    take_pictures(page, "result-measured")


def test_pain_stops_steps_up_until_a_person_clears_it(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, athlete, None)
    page = visit(f"/me/clips/{clip.id}", person=athlete).page
    page.get_by_text("Something hurt", exact=True).click()
    page.get_by_label("What hurt, and when?").fill("Left wrist, in the last rep")
    look(page, "pain")
    page.get_by_role("button", name="Tell my coach").click()
    told = page.locator("#pain-told")
    expect(told).to_be_focused()
    expect(told).to_contain_text("ask your coach or a clinician")
    assert_accessible(page)
    with site.parts.database.session() as records:
        report = records.scalars(select(PainReport)).one()
    assert (report.athlete_id, report.clip_id, report.text) == (athlete.id, clip.id, "Left wrist, in the last rep")
    page.goto("/me")
    expect(page.get_by_text("No harder step is offered until a person has cleared it.")).to_be_visible()
    assert site.client(site.home.coach).post(f"/api/v1/pain/{report.id}/clear").status_code == 200
    page.reload()
    expect(page.get_by_role("heading", name="Something hurt")).to_be_hidden()


def test_a_clip_is_deleted_after_one_question(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, athlete, None)
    page = visit(f"/me/clips/{clip.id}", person=athlete).page
    page.get_by_role("button", name="Delete this clip").click()
    look(page, "delete")
    page.get_by_role("button", name="Keep it").click()
    assert len(site.clips(athlete)) == 1
    page.get_by_role("button", name="Delete this clip").click()
    page.get_by_role("button", name="Delete", exact=True).click()
    page.wait_for_url(f"{site.url}/me")
    expect(page.get_by_text("You have sent no clip yet.")).to_be_visible()
    assert site.clips(athlete) == []
    assert list(site.parts.store.list(ClipFiles(clip.id).folder)) == []


def test_only_the_athlete_decides_what_is_shared(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, athlete, None)
    page = visit("/offline", person=athlete, permissions=["clipboard-read", "clipboard-write"]).page
    page.add_init_script(
        "navigator.share = async (what) => { window.shared = { text: what.text, files: what.files?.length } };"
        "navigator.canShare = () => true"
    )
    page.goto(f"/me/clips/{clip.id}")
    page.wait_for_function(READY)
    page.get_by_role("button", name="Share the numbers").click()
    until(page, "window.shared?.text.includes('3 missed')")
    page.get_by_role("button", name="Share the clip").click()
    until(page, "window.shared.files === 1")


def test_another_athletes_clip_is_not_there(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, site.home.other_athlete, None)
    visited = visit(f"/me/clips/{clip.id}", person=athlete)
    visited.watch.expect("status of 404")
    expect(visited.page.get_by_role("heading", name="Nothing here")).to_be_visible()


def test_what_the_coach_decides_is_what_the_athlete_reads(
    visit: Visits, site: Site, ready: Path, athlete: Person
) -> None:
    clip = put(site, ready, athlete, site.prescription(athlete, PLAN))
    one, two, three = site.efforts(clip)
    coach = site.client(site.home.coach)
    rulings = f"/api/v1/clips/{clip.id}/rulings"
    for body in (
        {"effort": one.id, "ruling": "missed", "note": "The hips hung through."},
        {"effort": two.id, "ruling": "film again"},
    ):
        assert coach.post(rulings, json=body).status_code == 201
    moved = {"boundaries": {"lowering.start": 10.2}}
    assert coach.post(f"/api/v1/efforts/{three.id}/corrections", json=moved).status_code == 201

    page = visit("/me", person=athlete).page
    expect(page.get_by_text("Your coach asks you to film this again")).to_be_visible()
    page.get_by_role("link", name=re.compile("Push-up, ")).click()
    first, second, third = page.locator("table.efforts tbody").all()
    expect(first).to_contain_text("missed (your coach; measured as met)")
    expect(first).to_contain_text("Your coach ruled this rep missed.")
    expect(page.get_by_text("Rep 1: The hips hung through.")).to_be_visible()
    expect(second).to_contain_text("film again (your coach; measured as met)")
    expect(third).to_contain_text("2.80 ±")
    expect(third).to_contain_text("Corrected by your coach: lowering.")
    expect(third).not_to_contain_text("not as asked")
    look(page, "result-decided")
    third.get_by_role("button").click()
    expect(page.locator("#chosen")).to_have_text("Rep 3, looped")
    page.get_by_role("link", name="Film again").click()
    expect(page.get_by_text("1 set of 3 reps")).to_be_visible()


def test_a_handstand_is_read_by_athlete_and_coach(
    visit: Visits, site: Site, ready_handstand: Path, athlete: Person
) -> None:
    clip = put(site, ready_handstand, athlete, site.prescription(athlete, HOLD_PLAN))
    page = visit("/me", person=athlete).page
    expect(page.get_by_text("1 set, held for 10 s")).to_be_visible()
    look(page, "today-hold")
    page.goto(f"/me/clips/{clip.id}")
    expect(page.locator(".told")).to_have_text("missed 0 of 1 hold met.")
    line = page.locator("table.efforts tbody")
    expect(line).to_contain_text("8.00 ±0.10")
    expect(line).to_contain_text("2.1 ±1.5")
    expect(line).to_contain_text("3.1 ±0.6")
    expect(page.locator("#chosen")).to_have_text("Hold 1, looped", timeout=PATIENT)
    look(page, "result-hold")

    [effort] = site.efforts(clip)
    review = visit(f"/review/{effort.set_id}", "desktop", site.home.coach).page
    expect(review.get_by_role("heading", name="Hold 1")).to_be_visible()
    expect(review.locator(".u-over .now").first).to_be_attached(timeout=PATIENT)
    expect(review.get_by_role("slider", name="begins")).to_have_count(0)
    assert_accessible(review)
    take_pictures(review, "coach-hold")
    review.keyboard.press("x")
    expect(review.locator("#last")).not_to_be_empty()
    assert site.efforts(clip)[0].ruling == "missed"
