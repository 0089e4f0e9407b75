"""The athlete's way through the pages, on a phone: from the link to the result, and everything that may go wrong on it."""

import hashlib
import json
import re
import struct
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy import select

from models.sensor import parse_sensor_track
from service.intake.uploads import UploadFiles, Writer
from service.records import Clip, PainReport, Person
from service.store import ClipFiles
from tests.browser.conftest import PATIENCE, Visits
from tests.browser.looks import assert_accessible, take_pictures
from tests.browser.ready import PLAN, SAMPLES, put
from tests.browser.site import Site
from tests.browser.working import working

FIRST_LOAD = 150_000
PATIENT = 60_000
"""Milliseconds that what the machine has to work for may take, where others are at work too."""


@pytest.fixture
def athlete(site: Site) -> Person:
    return site.home.athlete


def clips_of(site: Site, athlete: Person) -> list[Clip]:
    with site.parts.database.session() as records:
        return list(records.scalars(select(Clip).where(Clip.athlete_id == athlete.id)))


def until(page: Page, condition: str) -> None:
    """Wait for a condition in the page; Playwright's own way needs what the page's policy forbids."""
    deadline = time.monotonic() + PATIENT / 1000
    while not page.evaluate(condition):
        assert time.monotonic() < deadline, condition
        page.wait_for_timeout(50)


def look(page: Page, name: str) -> None:
    """What every screen is tried for."""
    assert_accessible(page)
    take_pictures(page, name)


def test_from_the_link_to_the_result(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    site.prescription(athlete, PLAN)
    visited = visit(site.link(athlete), permissions=["camera", "accelerometer", "gyroscope", "magnetometer"])
    visited.watch.expect("ERR_INTERNET_DISCONNECTED")
    page = visited.page
    page.context.new_cdp_session(page).send(
        "DeviceOrientation.setDeviceOrientationOverride", {"alpha": 0, "beta": 78, "gamma": 0}
    )
    page.wait_for_url(f"{site.url}/me")
    expect(page.get_by_text("1 set of 3 reps")).to_be_visible()
    expect(page.get_by_text("Lower for 3 s")).to_be_visible()
    expect(page.get_by_text("Turn at once at the bottom (chest low)")).to_be_visible()
    expect(page.get_by_text("Slow all the way down.")).to_be_visible()
    look(page, "today")

    page.get_by_role("link", name="Film this set").click()
    look(page, "film")
    page.get_by_role("button", name="Open the camera").click()
    expect(page.get_by_text("Level.")).to_be_visible()
    look(page, "film-ready")
    page.get_by_label("Countdown").select_option("3")
    page.get_by_role("button", name="Start the countdown").click()
    stop = page.get_by_role("button", name="Stop filming")
    expect(stop).to_be_focused()
    expect(page.locator("#clock")).to_have_text(re.compile(r"^2 of at most \d+ s$"))
    assert_accessible(page)
    stop.click()
    expect(page.get_by_role("heading", name="Is the whole set in it?")).to_be_focused()
    look(page, "film-review")

    page.context.set_offline(True)
    page.get_by_role("button", name="Send it").click()
    expect(page.get_by_text("No connection.")).to_be_visible()
    look(page, "film-offline")
    assert clips_of(site, athlete) == []
    page.context.set_offline(False)
    page.wait_for_url("**/me/clips/*", timeout=PATIENT)
    expect(page.get_by_role("heading", name="Being measured")).to_be_visible()
    look(page, "stages")
    [clip] = clips_of(site, athlete)
    assert clip.filmed is not None
    assert clip.prescription_version_id is not None
    assert 1 < clip.seconds < 10
    assert clip.sensor
    track = parse_sensor_track(b"".join(site.parts.store.stream(ClipFiles(clip.id).sensor)), "track")
    assert {(sample.roll, sample.pitch) for sample in track.samples} == {(0, -12)}
    assert track.clock is not None
    assert track.samples[0].time - 1 < track.clock.offset < track.samples[-1].time

    with working(site.settings.data, ready):
        expect(page.locator(".told")).to_have_text("missed 2 of 2.5 reps met.", timeout=PATIENT)
    expect(page.get_by_role("button", name="Show rep 3")).to_be_visible()
    page.get_by_role("link", name="Today").click()
    expect(page.get_by_role("listitem").filter(has_text="push-up").get_by_text("2 met")).to_be_visible()


def test_a_clip_goes_on_after_a_lost_connection_and_a_closed_page(
    visit: Visits, site: Site, athlete: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clip_file = tmp_path / "set.mp4"
    clip_file.write_bytes(padded((SAMPLES / "push-up-set.mp4").read_bytes(), 10 * 2**20))
    visited = visit("/me", person=athlete)
    visited.watch.expect("ERR_INTERNET_DISCONNECTED")
    page, context = visited.page, visited.page.context
    with monkeypatch.context() as slow:
        slow.setattr(Writer, "write", slowly(Writer.write))
        page.locator("input[data-pick]").set_input_files(clip_file)
        expect(page.get_by_text(re.compile(r"[0-4]\.\d of 11\.2 MB sent"))).to_be_visible(timeout=PATIENT)
        page.wait_for_timeout(300)
        context.set_offline(True)
        expect(page.get_by_text("No connection.")).to_be_visible()
        look(page, "today-waiting")
        page.close()
    had = settled(UploadFiles(site.settings).folder)
    assert 0 < had < clip_file.stat().st_size
    context.set_offline(False)
    again = context.new_page()
    offsets: list[int] = []
    context.on("request", lambda request: offsets.append(int(request.headers.get("upload-offset", -1))))
    again.goto("/me")
    expect(again.get_by_role("listitem").filter(has_text="waits to be measured")).to_be_visible(timeout=PATIENT)
    assert min(offset for offset in offsets if offset >= 0) == had
    [clip] = clips_of(site, athlete)
    assert clip.source_sha256 == hashlib.sha256(clip_file.read_bytes()).hexdigest()
    again.reload()
    expect(again.get_by_role("link", name="waits to be measured")).to_be_visible()
    expect(again.get_by_role("heading", name="Not sent yet")).to_be_hidden()


def padded(clip: bytes, size: int) -> bytes:
    """A clip that is as large as a phone's: an MP4 may end with free space (ISO 14496-12, 8.1.2)."""
    return clip + struct.pack(">I4s", size, b"free") + bytes(size - 8)


def slowly(write: Callable[[Writer, bytes], None]) -> Callable[[Writer, bytes], None]:
    """As if a mobile network brought the bytes."""

    def wait_and_write(writer: Writer, piece: bytes) -> None:
        time.sleep(0.03)
        write(writer, piece)

    return wait_and_write


def settled(folder: Path) -> int:
    """How much of the one upload has come, when no more comes."""
    [begun] = folder.glob("*.part")
    sizes = [-1, begun.stat().st_size]
    while sizes[-1] != sizes[-2]:
        time.sleep(1)
        sizes.append(begun.stat().st_size)
    return sizes[-1]


def test_what_the_service_does_not_take_is_told_and_kept(
    visit: Visits, site: Site, athlete: Person, tmp_path: Path
) -> None:
    visited = visit("/me", person=athlete)
    visited.watch.expect("status of 422")
    page = visited.page
    words = tmp_path / "diary.mp4"
    words.write_text("no clip at all")
    page.locator("input[data-pick]").set_input_files(words)
    refused = page.locator("#waiting .fault.number")
    expect(refused).to_contain_text("Not taken: ", timeout=PATIENT)
    assert_accessible(page)
    page.reload()
    expect(refused).to_be_visible()
    page.get_by_role("button", name="Discard the clip").click()
    expect(page.get_by_role("heading", name="Not sent yet")).to_be_hidden()
    page.reload()
    expect(page.get_by_role("heading", name="Today", level=1)).to_be_visible()
    expect(page.get_by_role("heading", name="Not sent yet")).to_be_hidden()
    assert clips_of(site, athlete) == []


def test_without_the_camera_a_clip_can_be_picked(visit: Visits, site: Site, athlete: Person) -> None:
    plan = site.prescription(athlete, PLAN)
    page = visit(f"/me/film?plan={plan.prescription_id}", person=athlete).page
    page.get_by_role("button", name="Open the camera").click()
    expect(page.get_by_role("heading", name="No camera")).to_be_focused()
    expect(page.get_by_text("The camera is not allowed for this page.")).to_be_visible()
    look(page, "film-refused")
    page.locator("input[data-pick]").set_input_files(SAMPLES / "push-up-too-fast.mp4")
    page.wait_for_url("**/me/clips/*", timeout=PATIENT)
    [clip] = clips_of(site, athlete)
    assert clip.prescription_version_id == plan.id
    assert not clip.sensor


@pytest.mark.parametrize("events", ["told", "lost"])
def test_a_slow_measuring_shows_its_stages(
    visit: Visits,
    site: Site,
    ready: Path,
    athlete: Person,
    events: str,
) -> None:
    clip = site.clip(athlete)
    site.parts.queue.submit(clip.id)
    visited = visit("/offline", person=athlete)
    page = visited.page
    if events == "lost":
        visited.watch.expect("ERR_FAILED")
        page.route("**/events", lambda route: route.abort())
    page.goto(f"/me/clips/{clip.id}")
    expect(page.locator("#stage")).to_contain_text("waiting for its turn", timeout=PATIENT)
    with working(site.settings.data, ready, seconds=8):
        expect(page.locator("#stages .now")).to_have_text("following the body", timeout=PATIENT)
        assert float(page.locator("#bar").evaluate("bar => bar.value")) > 0.3
        expect(page.get_by_role("heading", name="Not checked")).to_be_visible(timeout=PATIENT)


def test_a_clip_that_cannot_be_measured_says_why(visit: Visits, site: Site, athlete: Person) -> None:
    clip = site.clip(athlete)
    with site.parts.database.session() as records:
        row = records.get_one(Clip, clip.id)
        row.state, row.reason = "refused", "no person is seen in this clip; film the whole body"
    page = visit(f"/me/clips/{clip.id}", person=athlete).page
    expect(page.get_by_text("film the whole body")).to_be_visible()
    expect(page.get_by_role("link", name="Film again")).to_be_visible()
    look(page, "refused")


def test_the_result_is_read_and_looped_by_keyboard(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, athlete, site.prescription(athlete, PLAN))
    page = visit(f"/me/clips/{clip.id}", person=athlete).page
    lines = page.locator("table.efforts tbody")
    expect(lines).to_have_count(3)
    expect(lines.nth(2)).to_contain_text("2.00 ±0.08")
    expect(lines.nth(2).get_by_text("missed", exact=True)).to_be_visible()
    expect(lines.nth(2)).to_contain_text("Lowering took 2.00 ±0.08 s, not as asked (at least 2.5 s).")
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
    assert len(clips_of(site, athlete)) == 1
    page.get_by_role("button", name="Delete this clip").click()
    page.get_by_role("button", name="Delete", exact=True).click()
    page.wait_for_url(f"{site.url}/me")
    expect(page.get_by_text("You have sent no clip yet.")).to_be_visible()
    assert clips_of(site, athlete) == []
    assert list(site.parts.store.list(ClipFiles(clip.id).folder)) == []


def test_only_the_athlete_decides_what_is_shared(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, athlete, None)
    page = visit("/offline", person=athlete, permissions=["clipboard-read", "clipboard-write"]).page
    page.add_init_script(
        "navigator.share = async (what) => { window.shared = { text: what.text, files: what.files?.length } };"
        "navigator.canShare = () => true"
    )
    page.goto(f"/me/clips/{clip.id}")
    page.get_by_role("button", name="Share the numbers").click()
    assert "3 missed" in page.evaluate("window.shared.text")
    page.get_by_role("button", name="Share the clip").click()
    until(page, "window.shared.files === 1")


def test_another_athletes_clip_is_not_there(visit: Visits, site: Site, ready: Path, athlete: Person) -> None:
    clip = put(site, ready, site.home.other_athlete, None)
    visited = visit(f"/me/clips/{clip.id}", person=athlete)
    visited.watch.expect("status of 404")
    expect(visited.page.get_by_role("heading", name="Nothing here")).to_be_visible()


def test_counting_shows_numbers_where_motion_is_not_wanted(visit: Visits, site: Site, athlete: Person) -> None:
    site.prescription(athlete, PLAN)
    page = visit("/me", person=athlete).page
    line = page.locator(".sketch .body")
    expect(page.get_by_role("button", name="Count along")).to_be_visible()
    still = line.get_attribute("y2")
    page.get_by_role("button", name="Count along").click()
    expect(page.locator(".count")).to_have_text("Lower 1 of 3 s rep 1 of 3")
    expect(page.locator(".count")).to_have_text("Lower 3 of 3 s rep 1 of 3")
    assert line.get_attribute("y2") == still
    page.emulate_media(reduced_motion="no-preference")
    expect(page.locator(".count")).to_contain_text("rep 2")
    until(page, f"document.querySelector('.sketch .body').getAttribute('y2') !== '{still}'")
    page.keyboard.press("m")
    expect(page.get_by_role("button", name="Sound is off")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Stop counting").click()
    expect(page.locator(".count")).to_have_text("")


@pytest.mark.parametrize("path", ["/me", "/me/film"])
def test_the_first_load_is_small(visit: Visits, site: Site, athlete: Person, path: str) -> None:
    site.prescription(athlete, PLAN)
    page = visit("/offline", person=athlete).page
    session = page.context.new_cdp_session(page)
    came: list[float] = []
    session.on("Network.loadingFinished", lambda event: came.append(event["encodedDataLength"]))
    session.send("Network.enable")
    session.send("Network.clearBrowserCache")
    slow: dict[str, Any] = {"offline": False, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 90_000}
    session.send("Network.emulateNetworkConditions", slow)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    begun = time.monotonic()
    page.goto(path)
    page.get_by_role("button", name="Count along" if path == "/me" else "Open the camera").wait_for(timeout=PATIENT)
    seconds = time.monotonic() - begun
    print(json.dumps({"path": path, "bytes": round(sum(came)), "interactive_s": round(seconds, 2)}))
    assert 5_000 < sum(came) < FIRST_LOAD
