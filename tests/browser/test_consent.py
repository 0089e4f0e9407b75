"""A minor is filmed with a guardian's consent only."""

from datetime import timedelta

from playwright.sync_api import expect
from sqlalchemy import select

from service.records import Consent, Person, now
from tests.browser.conftest import PATIENT, Visits
from tests.browser.looks import look
from tests.browser.ready import SAMPLES
from tests.browser.site import Site


def test_a_minors_clip_waits_on_the_phone_for_a_guardians_consent(visit: Visits, site: Site, athlete: Person) -> None:
    with site.parts.database.session() as records:
        records.get_one(Person, athlete.id).born = now().date() - timedelta(days=15 * 365)
    phone = visit("/me", person=athlete)
    phone.watch.expect("status of 409")
    phone.page.locator("input[data-pick]").set_input_files(SAMPLES / "push-up-too-fast.mp4")
    refused = phone.page.locator("#waiting .fault.number")
    expect(refused).to_contain_text("a parent or guardian has to agree", timeout=PATIENT)
    look(phone.page, "no-consent")
    assert site.clips(athlete) == []

    coach = visit(f"/athletes/{athlete.id}", "desktop", site.home.coach).page
    coach.get_by_label("Who agrees to being filmed and measured").select_option("A guardian")
    coach.get_by_label("Name of the guardian").fill("Ada Holt")
    coach.get_by_role("button", name="Write the consent down").click()
    expect(coach.get_by_text("Given by the guardian Ada Holt on")).to_be_visible()

    phone.page.get_by_role("button", name="Try again").click()
    phone.page.wait_for_url("**/me/clips/*", timeout=PATIENT)
    assert len(site.clips(athlete)) == 1

    coach.get_by_role("button", name="Withdraw").click()
    expect(coach.get_by_text("withdrawn on")).to_be_visible()
    with site.parts.database.session() as records:
        assert records.scalars(select(Consent)).one().withdrawn is not None
