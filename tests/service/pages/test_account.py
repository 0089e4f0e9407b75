import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
from fastapi.testclient import TestClient
from pyotp import TOTP

from service.access import factors
from service.access.entrance import set_password
from service.access.factors import STEP
from service.api.state import parts_of
from service.records import Person, now
from tests.service.api.world import World
from tests.service.pages.conftest import as_browser

PASSWORD, NEXT = "lamp river seven chalk", "velvet ladder comet nine"
KEY = re.compile(r"<code>([A-Z2-7 ]+)</code>")


@pytest.fixture
def coach(world: World) -> Iterator[TestClient]:
    """A coach who knows their password and has no second factor."""
    with world.parts.database.session() as records:
        set_password(records, records.get_one(Person, world.home.coach.id), PASSWORD)
    yield as_browser(world.client(world.home.coach))
    with world.parts.database.session() as records:
        factors.forget(records, world.home.coach.id)


def step_on(world: World) -> None:
    """As if the codes that were used had been those of an earlier time step: each counts once."""
    with world.parts.database.session() as records:
        factor = factors.confirmed(records, world.home.coach.id)
        assert factor is not None
        factor.used = int((now() - timedelta(seconds=2 * STEP)).timestamp()) // STEP


def test_a_second_factor_is_set_up_and_given_up(world: World, coach: TestClient) -> None:
    elsewhere = as_browser(world.client(world.home.coach))
    assert "Set up a second factor" in coach.get("/account").text
    begun = coach.post("/account/factor", data={"password": PASSWORD})
    assert begun.headers["cache-control"] == "private, no-store"
    key = KEY.findall(begun.text)[0].replace(" ", "")
    assert f"otpauth://totp/Plumbrep:coach%40northside?secret={key}&amp;issuer=Plumbrep" in begun.text
    app = TOTP(key)

    wrong = coach.post("/account/factor/confirm", data={"code": "12345"})
    assert (wrong.status_code, "this code is wrong" in wrong.text) == (422, True)
    assert key not in wrong.text.replace(" ", "")
    done = coach.post("/account/factor/confirm", data={"code": app.now()})
    assert (done.status_code, done.headers["location"]) == (303, "/account?done=on")
    page = coach.get("/account?done=on").text
    assert "signing in asks for a code of your app" in page
    assert key not in page.replace(" ", "")
    assert elsewhere.get("/account").headers["location"] == "/sign-in?next=%2Faccount"

    step_on(world)
    for password, code, why in (("not this one", app.now(), "password is wrong"), (PASSWORD, "12345", "code is wrong")):
        answer = coach.post("/account/factor/end", data={"password": password, "code": code})
        assert (answer.status_code, why in answer.text) == (422, True)
        assert password not in answer.text
    done = coach.post("/account/factor/end", data={"password": PASSWORD, "code": app.now()})
    assert done.headers["location"] == "/account?done=off"
    assert "Set up a second factor" in coach.get("/account?done=off").text


def test_the_password_is_asked_for_before_a_key_is_shown(coach: TestClient) -> None:
    answers = [coach.post("/account/factor", data={"password": "not this one"}) for _ in range(6)]
    assert [each.status_code for each in answers] == [422] * 5 + [429]
    assert int(answers[-1].headers["retry-after"]) > 0
    assert not any(KEY.search(each.text) for each in answers)


def test_a_password_is_changed(world: World) -> None:
    with world.parts.database.session() as records:
        set_password(records, records.get_one(Person, world.home.owner.id), PASSWORD)
    owner, elsewhere = (as_browser(world.client(world.home.owner)) for _ in range(2))
    short = owner.post("/account/password", data={"current": PASSWORD, "password": "short"})
    assert (short.status_code, "12 characters or more" in short.text) == (422, True)
    done = owner.post("/account/password", data={"current": PASSWORD, "password": NEXT})
    assert (done.status_code, owner.get(done.headers["location"]).status_code) == (303, 200)
    assert elsewhere.get("/account").status_code == 303
    signed_in = as_browser(world.client()).post("/sign-in", data={"login": world.home.owner.login, "password": NEXT})
    assert signed_in.status_code == 303


def test_it_is_for_coaches_and_for_nobody_elses_pages(world: World, coach: TestClient) -> None:
    assert as_browser(world.client(world.home.athlete)).get("/account").status_code == 403
    assert as_browser(world.client()).get("/account").headers["location"] == "/sign-in?next=%2Faccount"
    forged = coach.post("/account/factor", data={"password": PASSWORD}, headers={"Origin": "https://elsewhere.example"})
    assert forged.status_code == 403
    assert coach.get("/account?done=nothing").status_code == 422


def test_an_invitation_leads_there_where_everybody_must_have_one(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    assert 'data-then="/review"' in world.client().get("/invited").text
    strict = replace(world.parts, settings=world.settings.model_copy(update={"second_factor": True}))
    monkeypatch.setitem(world.app.dependency_overrides, parts_of, lambda: strict)
    assert 'data-then="/account"' in world.client().get("/invited").text
    assert "Your gym asks for one." in world.client(world.home.coach).get("/account").text
