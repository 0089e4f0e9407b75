"""The athlete's first page, and how fast it comes."""

import json
import time
from typing import Any

import pytest
from playwright.sync_api import expect

from service.records import Person
from tests.browser.conftest import PATIENT, Visits
from tests.browser.looks import READY, until
from tests.browser.ready import PLAN
from tests.browser.site import Site

FIRST_LOAD = 150_000


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


HEARD = """
window.heard = [];
speechSynthesis.getVoices = () => VOICES;
speechSynthesis.speak = (said) => window.heard.push(said.text);
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (...when) { window.heard.push(this.frequency.value); start.apply(this, when); };
"""
"""Notes what is said, which no test can hear, and the tones, which sound all the same."""


@pytest.mark.parametrize(
    ("voices", "heard"), [("[{}]", ["down", "2", "up"]), ("[]", [880, 440, 880])], ids=["voice", "tone"]
)
def test_a_voice_counts_or_a_tone_where_there_is_none(
    visit: Visits, site: Site, athlete: Person, voices: str, heard: list[str | int]
) -> None:
    site.prescription(athlete, PLAN.replace("3-0-1-0", "2-0-1-0"))
    page = visit("/offline", person=athlete).page
    page.add_init_script(HEARD.replace("VOICES", voices))
    page.goto("/me")
    page.wait_for_function(READY)
    page.get_by_role("button", name="Count along").click()
    until(page, "window.heard.length >= 3")
    assert page.evaluate("window.heard.slice(0, 3)") == heard
    page.keyboard.press("m")
    before = page.evaluate("window.heard.length")
    expect(page.locator(".count")).to_contain_text("Lower 1 of 2 s rep 2")
    assert page.evaluate("window.heard.length") == before


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
