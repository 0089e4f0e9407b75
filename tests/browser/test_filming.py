"""The athlete's way to a measured clip, on a phone: from the link over the camera and the network, and what may go wrong on it."""

import hashlib
import re
import struct
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from models.sensor import parse_sensor_track
from service.intake.uploads import UploadFiles, Writer
from service.records import Clip, Person
from service.store import ClipFiles
from tests.browser.conftest import PATIENT, Visits
from tests.browser.looks import READY, assert_accessible, look, until
from tests.browser.ready import PLAN, SAMPLES
from tests.browser.site import Site
from tests.browser.working import working


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
    expect(page.get_by_text("No connection. It goes on by itself")).to_be_visible()
    look(page, "film-offline")
    assert site.clips(athlete) == []
    page.context.set_offline(False)
    page.wait_for_url("**/me/clips/*", timeout=PATIENT)
    expect(page.get_by_role("heading", name="Being measured")).to_be_visible()
    look(page, "stages")
    [clip] = site.clips(athlete)
    assert clip.filmed is not None
    assert clip.prescription_version_id is not None
    assert 1 < clip.seconds < 10
    assert clip.sensor
    track = parse_sensor_track(b"".join(site.parts.store.stream(ClipFiles(clip.id).sensor)), "track")
    assert {(sample.roll, sample.pitch) for sample in track.samples} == {(0, -12)}
    assert track.clock is not None
    assert track.clock.u >= 0.05
    assert track.samples[0].time - 1 < track.clock.offset < track.samples[-1].time

    with working(site.settings.data, ready):
        expect(page.locator(".told")).to_have_text("missed 2 of 3 reps met.", timeout=PATIENT)
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
        expect(page.get_by_text("No connection. It goes on by itself")).to_be_visible()
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
    [clip] = site.clips(athlete)
    assert clip.source_sha256 == hashlib.sha256(clip_file.read_bytes()).hexdigest()
    again.reload()
    expect(again.get_by_role("link", name="waits to be measured")).to_be_visible()
    expect(again.get_by_role("heading", name="Not sent yet")).to_be_hidden()


def test_the_camera_says_how_it_is_held_and_stops_by_itself(visit: Visits, site: Site, athlete: Person) -> None:
    short = site.settings.model_copy(update={"clip_max_seconds": 3})
    plan = site.prescription(athlete, PLAN)
    motion = ["camera", "accelerometer", "gyroscope", "magnetometer"]
    site.app.state.parts = replace(site.parts, settings=short)
    page = visit(f"/me/film?plan={plan.prescription_id}", person=athlete, permissions=motion).page
    site.app.state.parts = site.parts
    for hint in ("Film square from the side.", "The whole body stays inside", "Lens as high as your hips"):
        expect(page.get_by_text(hint)).to_be_visible()
    sensor = page.context.new_cdp_session(page)
    page.get_by_role("button", name="Open the camera").click()
    for beta, gamma, told in (
        (78, 40, "Tilted by 8°: turn it to the left."),
        (78, -40, "Tilted by 8°: turn it to the right."),
        (50, 0, "Level. The lens looks down: set it lower or straighter."),
    ):
        sensor.send("DeviceOrientation.setDeviceOrientationOverride", {"alpha": 0, "beta": beta, "gamma": gamma})
        expect(page.locator("#level")).to_have_text(told)
    expect(page.get_by_text("The camera stops by itself after 3 s.")).to_be_visible()
    page.get_by_label("Countdown").select_option("3")
    page.get_by_role("button", name="Start the countdown").click()
    expect(page.get_by_role("heading", name="Is the whole set in it?")).to_be_focused()
    until(page, "document.querySelector('#replay').readyState >= 1")
    page.get_by_role("button", name="Film again").click()
    expect(page.get_by_role("button", name="Start the countdown")).to_be_visible()


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
    assert site.clips(athlete) == []


def test_without_the_camera_a_clip_can_be_picked(visit: Visits, site: Site, athlete: Person) -> None:
    plan = site.prescription(athlete, PLAN)
    page = visit(f"/me/film?plan={plan.prescription_id}", person=athlete).page
    page.get_by_role("button", name="Open the camera").click()
    expect(page.get_by_role("heading", name="No camera")).to_be_focused()
    expect(page.get_by_text("The camera is not allowed for this page.")).to_be_visible()
    look(page, "film-refused")
    page.locator("input[data-pick]").set_input_files(SAMPLES / "push-up-too-fast.mp4")
    page.wait_for_url("**/me/clips/*", timeout=PATIENT)
    [clip] = site.clips(athlete)
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
    expect(page.locator("#stage")).to_contain_text("Waiting for its turn", timeout=PATIENT)
    with working(site.settings.data, ready, seconds=8 if events == "lost" else 4):
        expect(page.locator("#stages .now")).to_have_text("Following the body", timeout=PATIENT)
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


STOPPED_AT_ONCE = """
const { set } = Object.getOwnPropertyDescriptor(MediaRecorder.prototype, "ondataavailable");
Object.defineProperty(MediaRecorder.prototype, "ondataavailable", {
  set(take) { set.call(this, () => take({ data: new Blob([]) })); },
});
"""
"""What a recorder gives that is stopped before its first picture."""


def test_a_film_of_nothing_is_not_sent(visit: Visits, site: Site, athlete: Person) -> None:
    page = visit("/me/film", person=athlete, permissions=["camera"]).page
    page.evaluate(STOPPED_AT_ONCE)
    page.get_by_role("button", name="Open the camera").click()
    page.get_by_label("Countdown").select_option("3")
    begin = page.get_by_role("button", name="Start the countdown")
    begin.click()
    page.get_by_role("button", name="Stop filming").click()
    expect(page.get_by_text("Nothing was filmed")).to_be_visible()
    assert_accessible(page)
    begin.click()
    expect(page.get_by_text("Nothing was filmed")).to_be_hidden()
    page.get_by_role("button", name="Cancel").click()
    assert site.clips(athlete) == []


def test_the_whole_way_by_keyboard_alone(visit: Visits, site: Site, athlete: Person) -> None:
    site.prescription(athlete, PLAN)
    page = visit("/me", person=athlete, permissions=["camera"]).page
    press = page.keyboard.press
    go_to(page, page.get_by_role("link", name="Film this set"))
    press("Enter")
    page.wait_for_url("**/me/film?plan=*")
    page.wait_for_function(READY)
    go_to(page, page.get_by_role("button", name="Open the camera"))
    press("Enter")
    begin = page.get_by_role("button", name="Start the countdown")
    expect(begin).to_be_focused()
    go_to(page, page.get_by_label("Countdown"), "Shift+Tab")
    page.keyboard.type("3")
    expect(page.get_by_label("Countdown")).to_have_value("3")
    go_to(page, begin)
    press("Enter")
    expect(page.get_by_role("button", name="Cancel")).to_be_focused()
    expect(page.get_by_role("button", name="Stop filming")).to_be_focused()
    expect(page.locator("#clock")).to_have_text(re.compile(r"^2 of at most"))
    press("Enter")
    expect(page.get_by_role("heading", name="Is the whole set in it?")).to_be_focused()
    go_to(page, page.get_by_role("button", name="Send it"))
    press("Enter")
    page.wait_for_url("**/me/clips/*", timeout=PATIENT)
    assert len(site.clips(athlete)) == 1


def go_to(page: Page, control: Locator, key: str = "Tab") -> None:
    """Press Tab until a control has the focus; what a keyboard cannot reach fails."""
    for _ in range(30):
        if control.evaluate("control => control === document.activeElement"):
            return
        page.keyboard.press(key)
    expect(control).to_be_focused()
