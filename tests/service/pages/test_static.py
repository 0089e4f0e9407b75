import re

from fastapi.testclient import TestClient

from service.pages.assets import assets
from service.pages.policy import FILMING, NOTHING


def test_every_file_of_a_page_is_kept_for_a_year_and_comes_smaller(browser: TestClient) -> None:
    files = re.findall(r'(?:src|href)="(/static/[\w-]+\.(?:js|css))"', browser.get("/in").text)
    assert len(files) >= 3
    for file in files:
        small = browser.get(file, headers={"Accept-Encoding": "gzip, br"})
        whole = browser.get(file, headers={"Accept-Encoding": "identity"})
        assert small.headers["content-encoding"] == "br"
        assert "content-encoding" not in whole.headers
        assert int(small.headers["content-length"]) < len(whole.content)
        assert small.headers["cache-control"] == "public, max-age=31536000, immutable"
        assert small.headers["vary"] == "Accept-Encoding"


def test_nothing_else_of_the_build_is_given_out(browser: TestClient) -> None:
    for name in ("manifest.json", "..%2fmanifest.json", "..%2f..%2fpackage.json", "page.css"):
        assert browser.get(f"/static/{name}").status_code == 404


def test_the_licences_of_what_is_bundled_are_given_out(browser: TestClient) -> None:
    text = browser.get("/static/licences.txt").text
    assert "htmx.org" in text
    assert all("/" not in name and name.count(".") == 1 for name in assets().files)


def test_pages_are_not_kept_and_use_no_device(browser: TestClient) -> None:
    headers = browser.get("/sign-in").headers
    assert headers["cache-control"] == "private, no-store"
    assert headers["permissions-policy"] == NOTHING
    assert "camera=()" in NOTHING
    assert "camera=(self)" in FILMING
    assert "microphone=()" in FILMING


def test_the_service_worker_is_asked_for_anew_and_knows_the_build(browser: TestClient) -> None:
    given = browser.get("/sw.js")
    assert given.headers["content-type"] == "text/javascript; charset=utf-8"
    assert given.headers["cache-control"] == "no-cache"
    assert "connect-src 'self'" in given.headers["content-security-policy"]
    known = re.findall(r'"(/static/[\w.-]+)"', given.text)
    assert {assets().address(source) for source in ("athlete.ts", "athlete.css", "page.css")} < set(known)
    assert all(browser.get(file).status_code == 200 for file in known)
