"""Pictures of every screen in all looks, with sample clips that were really measured, for whoever changes the pages.

`python -m tests.browser.screens FOLDER [NAME...]` leaves `NAME-phone-dark.png` and the like; without names it takes all. Measuring
the clips takes five minutes and more; what was measured stays in `FOLDER/measured` for the next time.
"""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from playwright.sync_api import Browser, Page, expect, sync_playwright

from service.access.browser import cookie
from service.records import Clip, Effort, PainReport, Person, now
from tests.browser.filmed import SAMPLES
from tests.browser.gym import History, furnish, measured_clips
from tests.browser.looks import CHROMIUM, CONTEXTS, PATIENCE, READY, SCHEMES, Profile
from tests.browser.ready import film_for_camera
from tests.browser.site import PASSWORD, Site, serving
from tests.service.api.world import make_empty

UPRIGHT: Final = {"alpha": 0, "beta": 78, "gamma": 0}
"""How the phone is held: leaning back a little."""


@dataclass(frozen=True)
class Studio:
    """The gym, and a browser of one size before it."""

    site: Site
    history: History
    browser: Browser
    profile: Profile

    def open(self, path: str, person: Person | None = None, **more: Any) -> Page:
        """A page as this person sees it."""
        context = self.browser.new_context(
            base_url=self.site.url, locale="en-GB", service_workers="block", **CONTEXTS[self.profile], **more
        )
        context.set_default_timeout(PATIENCE)
        if person is not None:
            name = cookie(self.site.settings)["key"]
            context.add_cookies(
                [{"name": name, "value": self.site.token(person), "url": self.site.url, "httpOnly": True}]
            )
        page = context.new_page()
        page.goto(path)
        page.wait_for_function(READY)
        return page

    def sent(self, sample: str, athlete: str = "Tomasz Reuter") -> str:
        """The number of the last such clip."""
        return self.history.sent[athlete, sample].clip.id

    def effort(self, sample: str, wanted: Callable[[Effort], bool], athlete: str = "Tomasz Reuter") -> str:
        """Where the coach rules on the first effort of a clip that is as wanted."""
        efforts = self.history.sent[athlete, sample].efforts
        found = next((each for each in efforts if wanted(each)), efforts[0])
        return f"/review/{found.set_id}?effort={found.id}"


Screen = Callable[[Studio], Page]
SCREENS: Final[dict[str, Screen]] = {}


def screen(make: Screen) -> Screen:
    """Name a screen by its function."""
    SCREENS[make.__name__.replace("_", "-")] = make
    return make


# What is common.


@screen
def sign_in(studio: Studio) -> Page:
    return studio.open("/sign-in")


@screen
def sign_in_wrong(studio: Studio) -> Page:
    page = studio.open("/sign-in")
    page.get_by_label("Login").fill("ilka")
    page.get_by_label("Password").fill("wrong horse")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_be_visible()
    return page


@screen
def invited(studio: Studio) -> Page:
    return studio.open(studio.site.invitation(studio.site.home.owner))


@screen
def link_ended(studio: Studio) -> Page:
    page = studio.open("/in#not-a-link")
    expect(page.get_by_role("heading", name="This link does not count any more")).to_be_visible()
    return page


@screen
def nothing_here(studio: Studio) -> Page:
    return studio.open("/nowhere")


@screen
def not_for_you(studio: Studio) -> Page:
    return studio.open("/review", studio.history.athlete)


@screen
def offline(studio: Studio) -> Page:
    return studio.open("/offline")


@screen
def account(studio: Studio) -> Page:
    return studio.open("/account", studio.history.coach)


@screen
def account_key(studio: Studio) -> Page:
    studio.site.give_password(studio.history.coach)
    page = studio.open("/account", studio.history.coach)
    page.get_by_label("Current password").first.fill(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.locator("code").first).to_be_visible()
    return page


# The athlete's.


@screen
def today(studio: Studio) -> Page:
    return studio.open("/me", studio.history.athlete)


@screen
def today_nothing(studio: Studio) -> Page:
    return studio.open("/me", studio.site.away.athlete)


@screen
def today_counting(studio: Studio) -> Page:
    page = studio.open("/me", studio.history.athlete)
    page.get_by_role("button", name="Count along").first.click()
    expect(page.locator(".count").first).to_contain_text("Lower 2 of")
    return page


@screen
def today_waiting(studio: Studio) -> Page:
    page = studio.open("/me", studio.history.athlete)
    page.context.set_offline(True)
    page.locator("input[data-pick]").first.set_input_files(SAMPLES / "push-up-too-fast.mp4")
    expect(page.get_by_text("No connection. It goes on by itself")).to_be_visible()
    return page


@screen
def today_hurt(studio: Studio) -> Page:
    _hurt(studio, studio.site.away.athlete)
    return studio.open("/me", studio.site.away.athlete)


@screen
def today_again(studio: Studio) -> Page:
    """The coach asks for it again."""
    sent = studio.history.sent["Marit Holm", "push-up-too-fast"]
    coach = studio.site.client(studio.history.coach)
    body = {"effort": sent.efforts[0].id, "ruling": "film again"}
    assert coach.post(f"/api/v1/clips/{sent.clip.id}/rulings", json=body).is_success
    return studio.open("/me", studio.history.other)


def _film(studio: Studio, **more: Any) -> Page:
    page = studio.open(
        "/me", studio.history.athlete, permissions=["camera", "accelerometer", "gyroscope", "magnetometer"], **more
    )
    page.context.new_cdp_session(page).send("DeviceOrientation.setDeviceOrientationOverride", UPRIGHT)
    page.get_by_role("link", name="Film this set").first.click()
    page.wait_for_function(READY)
    return page


@screen
def film(studio: Studio) -> Page:
    return _film(studio)


@screen
def film_ready(studio: Studio) -> Page:
    page = _film(studio)
    page.get_by_role("button", name="Open the camera").click()
    expect(page.get_by_text("Level.")).to_be_visible()
    return page


@screen
def film_countdown(studio: Studio) -> Page:
    page = film_ready(studio)
    page.get_by_label("Countdown").select_option("20")
    page.get_by_role("button", name="Start the countdown").click()
    expect(page.locator("#clock")).to_have_text("18")
    return page


@screen
def film_running(studio: Studio) -> Page:
    page = film_ready(studio)
    page.get_by_label("Countdown").select_option("3")
    page.get_by_role("button", name="Start the countdown").click()
    expect(page.locator("#clock")).to_contain_text("2 of at most")
    return page


@screen
def film_review(studio: Studio) -> Page:
    page = film_running(studio)
    page.get_by_role("button", name="Stop filming").click()
    expect(page.get_by_role("heading", name="Is the whole set in it?")).to_be_visible()
    return page


@screen
def film_sending(studio: Studio) -> Page:
    page = film_review(studio)
    page.context.set_offline(True)
    page.get_by_role("button", name="Send it").click()
    expect(page.get_by_text("No connection. It goes on by itself")).to_be_visible()
    return page


@screen
def film_refused(studio: Studio) -> Page:
    page = studio.open("/me/film", studio.history.athlete)
    page.get_by_role("button", name="Open the camera").click()
    expect(page.get_by_role("heading", name="No camera")).to_be_visible()
    return page


def _other_clip(studio: Studio, **fields: Any) -> Page:
    clip = studio.site.clip(studio.site.away.other_athlete, filmed=now() - timedelta(minutes=5))
    with studio.site.parts.database.session() as records:
        row = records.get_one(Clip, clip.id)
        for name, value in fields.items():
            setattr(row, name, value)
    return studio.open(f"/me/clips/{clip.id}", studio.site.away.other_athlete)


@screen
def stages(studio: Studio) -> Page:
    page = _other_clip(studio, state="measuring", stage="following the athlete", progress=0.45)
    expect(page.locator("#stages .now")).to_have_text("Following the body")
    return page


@screen
def refused(studio: Studio) -> Page:
    return _other_clip(studio, state="refused", reason="no person is seen in this clip; film the whole body")


@screen
def failed(studio: Studio) -> Page:
    return _other_clip(studio, state="failed")


def _result(studio: Studio, sample: str, n: int = 1) -> Page:
    page = studio.open(f"/me/clips/{studio.sent(sample)}", studio.history.athlete, reduced_motion="reduce")
    expect(page.locator("#chosen")).to_contain_text("looped")
    page.locator(".efforts tbody button").nth(n - 1).click()
    _wait_for_body(page)
    return page


@screen
def result(studio: Studio) -> Page:
    return _result(studio, "push-up-set", 2)


@screen
def result_missed(studio: Studio) -> Page:
    return _result(studio, "push-up-too-fast", 2)


@screen
def result_hold(studio: Studio) -> Page:
    return _result(studio, "handstand-hold")


@screen
def result_decided(studio: Studio) -> Page:
    """The coach has ruled, corrected and written."""
    sent = studio.history.sent["Tomasz Reuter", "push-up-flat"]
    coach = studio.site.client(studio.history.coach)
    first, second = sent.efforts[:2]
    said = {"effort": first.id, "ruling": "missed", "note": "The hips hung through."}
    assert coach.post(f"/api/v1/clips/{sent.clip.id}/rulings", json=said).is_success
    moved = {"boundaries": {"lowering.start": second.start + 0.3}}
    assert coach.post(f"/api/v1/efforts/{second.id}/corrections", json=moved).is_success
    return _result(studio, "push-up-flat", 2)


@screen
def result_pain(studio: Studio) -> Page:
    page = _result(studio, "push-up-set")
    page.get_by_text("Something hurt", exact=True).click()
    return page


@screen
def result_delete(studio: Studio) -> Page:
    page = _result(studio, "push-up-set")
    page.get_by_role("button", name="Delete this clip").click()
    return page


@screen
def result_gone(studio: Studio) -> Page:
    sent = studio.history.sent["Tomasz Reuter", "push-up-hands-raised"]
    with studio.site.parts.database.session() as records:
        records.get_one(Clip, sent.clip.id).files_gone = now()
    return studio.open(f"/me/clips/{sent.clip.id}", studio.history.athlete)


# The coach's.


@screen
def queue(studio: Studio) -> Page:
    return studio.open("/review", studio.history.coach)


@screen
def queue_empty(studio: Studio) -> Page:
    return studio.open("/review", studio.site.away.coach)


def _set(studio: Studio, place: str) -> Page:
    page = studio.open(place, studio.history.coach, reduced_motion="reduce")
    expect(page.locator(".u-over .now").first).to_be_attached()
    _wait_for_body(page)
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    return page


@screen
def review(studio: Studio) -> Page:
    return _set(studio, studio.effort("push-up-too-fast", lambda each: each.verdict == "missed"))


@screen
def review_unsure(studio: Studio) -> Page:
    return _set(studio, studio.effort("push-up-set", lambda each: each.verdict == "unsure"))


@screen
def review_met(studio: Studio) -> Page:
    return _set(studio, studio.effort("push-up-set", lambda each: each.verdict == "met"))


@screen
def review_hold(studio: Studio) -> Page:
    return _set(studio, studio.effort("handstand-hold", lambda _: True))


@screen
def review_blind(studio: Studio) -> Page:
    for sent in studio.history.sent.values():
        for effort in sent.efforts:
            page = studio.open(
                f"/review/{effort.set_id}?effort={effort.id}", studio.history.coach, reduced_motion="reduce"
            )
            if page.get_by_text("The machine's verdict shows when you have ruled.").is_visible():
                _wait_for_body(page)
                return page
            page.context.close()
    raise AssertionError("nothing is blind")


@screen
def review_corrected(studio: Studio) -> Page:
    sent = studio.history.sent["Tomasz Reuter", "push-up-flat"]
    return _set(studio, f"/review/{sent.efforts[1].set_id}?effort={sent.efforts[1].id}")


@screen
def review_waiting(studio: Studio) -> Page:
    clip = studio.site.clip(studio.history.other)
    return studio.open(f"/review/{clip.id}", studio.history.coach)


@screen
def athletes(studio: Studio) -> Page:
    return studio.open("/athletes", studio.history.coach)


@screen
def athlete(studio: Studio) -> Page:
    page = studio.open(f"/athletes/{studio.history.athlete.id}", studio.history.coach)
    expect(page.get_by_role("region", name="Demand over time").first).to_be_visible()
    return page


@screen
def athlete_new(studio: Studio) -> Page:
    page = studio.open(f"/athletes/{studio.site.away.other_athlete.id}", studio.site.away.coach)
    expect(page.get_by_text("Nothing that was prescribed has been measured yet.")).to_be_visible()
    return page


@screen
def athlete_hurt(studio: Studio) -> Page:
    _hurt(studio, studio.site.away.athlete)
    return studio.open(f"/athletes/{studio.site.away.athlete.id}", studio.site.away.coach)


@screen
def athlete_fault(studio: Studio) -> Page:
    page = studio.open(f"/athletes/{studio.history.other.id}", studio.history.coach)
    page.get_by_text("Change it").first.click()
    page.get_by_label("Prescription (TOML)").first.fill('movement = "push-up"\nsets = 1\nreps = "many"\n')
    page.get_by_role("button", name="Save as a new version").first.click()
    expect(page.get_by_role("alert")).to_be_visible()
    return page


@screen
def plan(studio: Studio) -> Page:
    page = studio.open(
        f"/athletes/{studio.history.athlete.id}/plan?movement=push-up&by=body-angle", studio.history.coach
    )
    expect(page.get_by_role("slider", name="Body angle")).to_be_visible()
    page.get_by_label("Goal").fill("push-up")
    page.get_by_label("Owned now").fill("push-up body_angle=30")
    page.get_by_role("button", name="Lay the steps").click()
    expect(page.get_by_role("button", name="Prescribe step 1")).to_be_visible()
    page.get_by_role("button", name="Prescribe this").click()
    page.wait_for_timeout(500)
    return page


@screen
def plan_band(studio: Studio) -> Page:
    page = studio.open(f"/athletes/{studio.history.other.id}/plan?movement=pull-up&by=band", studio.history.coach)
    expect(page.get_by_role("slider", name="Band")).to_be_visible()
    return page


@screen
def plan_hurt(studio: Studio) -> Page:
    _hurt(studio, studio.site.away.athlete)
    page = studio.open(f"/athletes/{studio.site.away.athlete.id}/plan", studio.site.away.coach)
    page.get_by_label("Goal").fill("push-up")
    page.get_by_role("button", name="Lay the steps").click()
    page.wait_for_timeout(6000)
    return page


@screen
def agreement(studio: Studio) -> Page:
    return studio.open("/agreement", studio.history.coach)


@screen
def agreement_empty(studio: Studio) -> Page:
    return studio.open("/agreement", studio.site.away.coach)


def _hurt(studio: Studio, person: Person) -> None:
    with studio.site.parts.database.session() as records:
        if not any(each.athlete_id == person.id for each in records.query(PainReport)):
            records.add(PainReport(gym_id=person.gym_id, athlete_id=person.id, text="Left wrist, in the last rep"))


def _wait_for_body(page: Page) -> None:
    """Until the clip shows and something is drawn over it."""
    page.wait_for_function(
        "() => document.querySelector('#video').readyState >= 2 && !document.querySelector('#video').seeking"
    )
    page.wait_for_timeout(200)


@contextmanager
def _studio(folder: Path) -> Iterator[Callable[[Profile], Studio]]:
    measured = measured_clips(folder / "measured")
    with TemporaryDirectory() as name, sync_playwright() as driver:
        data = Path(name, "data")
        data.mkdir()
        make_empty(data)
        camera = film_for_camera(Path(name, "seen.mjpeg"))
        seen = ["--use-fake-device-for-media-stream", f"--use-file-for-fake-video-capture={camera}"]
        with serving(data) as site:
            history = furnish(site, measured)
            browser = driver.chromium.launch(executable_path=CHROMIUM, args=seen)
            yield lambda profile: Studio(site, history, browser, profile)
            browser.close()


def main() -> None:
    """Take the pictures."""
    expect.set_options(timeout=2 * PATIENCE)
    folder, names = Path(sys.argv[1]), sys.argv[2:] or list(SCREENS)
    folder.mkdir(parents=True, exist_ok=True)
    with _studio(folder) as studio:
        for name in names:
            for profile in CONTEXTS:
                page = SCREENS[name](studio(profile))
                for scheme in SCHEMES:
                    page.emulate_media(color_scheme=scheme)
                    page.wait_for_timeout(150)
                    page.screenshot(path=folder / f"{name}-{profile}-{scheme}.png", full_page=True, scale="css")
                page.context.close()
            print(name, flush=True)


if __name__ == "__main__":
    main()
