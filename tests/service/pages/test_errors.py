from fastapi.testclient import TestClient

from service.pages.page import page_router
from service.pages.policy import PAGE
from tests.service.api.world import World
from tests.service.pages.conftest import as_browser

broken = page_router()


@broken.get("/broken")
def fail() -> None:
    """A page with a fault in it."""
    raise ValueError("the name of an athlete")


def test_a_browser_is_told_with_a_page(browser: TestClient) -> None:
    answer = browser.get("/nowhere")
    assert answer.status_code == 404
    assert "<h1>Nothing here</h1>" in answer.text
    assert answer.headers["content-security-policy"] == PAGE["Content-Security-Policy"]


def test_programs_and_scripts_are_told_with_problem_details(world: World, browser: TestClient) -> None:
    for answer in (world.client().get("/nowhere"), browser.get("/api/v1/nowhere"), browser.get("/static/none.js")):
        assert answer.status_code == 404
        assert answer.headers["content-type"] == "application/problem+json"


def test_whoever_is_not_signed_in_is_led_there_and_back(browser: TestClient) -> None:
    answer = browser.post("/sign-out")
    assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in")
    answer = browser.post("/sign-out", headers={"HX-Request": "true"})
    assert (answer.status_code, answer.headers["hx-redirect"]) == (401, "/sign-in")


def test_a_fault_of_ours_is_told_without_its_text(world: World) -> None:
    world.app.include_router(broken)
    answer = as_browser(world.client()).get("/broken")
    assert answer.status_code == 500
    assert "<h1>Something went wrong here</h1>" in answer.text
    assert "the name of an athlete" not in answer.text
    assert answer.headers["content-security-policy"] == PAGE["Content-Security-Policy"]
