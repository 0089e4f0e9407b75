"""How pages are looked at: sizes, colour schemes, accessibility, pictures."""

import os
import time
from functools import cache
from pathlib import Path
from typing import Any, Final, Literal

from playwright.sync_api import Page, ViewportSize, expect

CHROMIUM: Final = "/usr/bin/chromium"
Profile = Literal["phone", "desktop"]
SIZES: Final[dict[Profile, ViewportSize]] = {
    "phone": {"width": 390, "height": 844},
    "desktop": {"width": 1280, "height": 800},
}
CONTEXTS: Final[dict[Profile, dict[str, Any]]] = {
    "phone": {"viewport": SIZES["phone"], "is_mobile": True, "has_touch": True},
    "desktop": {"viewport": SIZES["desktop"]},
}
PATIENCE: Final = 30_000
"""Milliseconds; the machine may be busy with other tests."""
READY: Final = "() => [...document.querySelectorAll('#today, #film, #clip')].every((page) => 'ready' in page.dataset)"
"""Scripts of the athlete's pages are loaded after the page, and only then do its buttons act."""
SCHEMES: Final[tuple[Literal["light", "dark"], ...]] = ("light", "dark")
RULES: Final = {
    "light": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    "dark": ["color-contrast", "link-in-text-block"],
}
"""What axe-core is asked in each scheme: all, and then what colours decide."""
SMALL: Final = """() => {
    const controls = [...document.querySelectorAll("button, select, summary, textarea, a.button, nav a, label.pick, ul.clips a")];
    const boxes = controls.map((each) => [each.textContent.trim(), each.getBoundingClientRect()]);
    return boxes.filter(([, box]) => box.width > 0 && (box.height < 44 || box.width < 44)).map(([name, box]) => [name, box.width, box.height]);
}"""
"""Controls that a thumb would miss: less than 44 pixels wide or high."""
DRAWN: Final = """([selector, wanted]) => {
    const named = getComputedStyle(document.documentElement).getPropertyValue(`--${wanted}`).trim();
    const canvas = document.querySelector(selector);
    const probe = new OffscreenCanvas(1, 1).getContext("2d");
    probe.fillStyle = named || wanted;
    probe.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = probe.getImageData(0, 0, 1, 1).data;
    const copy = new OffscreenCanvas(canvas.width, canvas.height).getContext("2d", { willReadFrequently: true });
    copy.drawImage(canvas, 0, 0);
    const { data } = copy.getImageData(0, 0, canvas.width, canvas.height);
    const near = (i, of) => Math.abs(data[i] - of) <= 9; // canvases keep colours multiplied by their little alpha
    for (let i = 0; i < data.length; i += 4) if (near(i, r) && near(i + 1, g) && near(i + 2, b) && near(i + 3, a)) return true;
    return false;
}"""
"""Whether a canvas has a pixel of a colour."""
AXE: Final = Path(__file__).parents[2] / "service" / "web" / "node_modules" / "axe-core" / "axe.min.js"


def assert_accessible(page: Page) -> None:
    """Ask axe-core for violations of WCAG 2.2 AA, in light and dark; and that nothing makes the page scroll sideways."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(_axe())
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        found = page.evaluate(
            "rules => axe.run(document, {runOnly: rules, resultTypes: ['violations']})", RULES[scheme]
        )
        told = [
            f"{scheme}: {each['id']}: {each['help']}: {node['html']} {node['failureSummary']}"
            for each in found["violations"]
            for node in each["nodes"]
        ]
        assert not told, "\n".join(told)
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0


def take_pictures(page: Page, name: str) -> None:
    """Pictures of the page in all looks (`NAME-phone-dark.png`) in the folder that `PICTURES` names, for whoever changes it.

    `PICTURES=/tmp/pictures python -m pytest tests/browser`; without it, nothing is done.
    """
    folder = os.environ.get("PICTURES")
    if not folder:
        return
    before = page.viewport_size
    for profile, size in SIZES.items():
        page.set_viewport_size(size)
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            page.screenshot(path=Path(folder) / f"{name}-{profile}-{scheme}.png", full_page=True, scale="css")
    if before is not None:
        page.set_viewport_size(before)


def look(page: Page, name: str) -> None:
    """What every screen of the athlete's is tried for."""
    assert_accessible(page)
    assert page.evaluate(SMALL) == []
    take_pictures(page, name)


def until(page: Page, condition: str) -> None:
    """Wait for a condition in the page; Playwright's own way needs what the page's policy forbids."""
    deadline = time.monotonic() + PATIENCE / 1000
    while not page.evaluate(condition):
        assert time.monotonic() < deadline, condition
        page.wait_for_timeout(50)


def seen_clip(page: Page) -> None:
    """Wait until the coach's clip and plots can be worked with."""
    expect(page.locator(".u-over .now")).to_have_count(3)
    page.wait_for_function("() => document.querySelector('#video').readyState >= 2")


def drawn(page: Page, canvas: str, colour: str) -> bool:
    """Whether a canvas shows a colour: `#ffd166`, or the name of one of the palette."""
    return bool(page.evaluate(DRAWN, [canvas, colour]))


@cache
def _axe() -> str:
    return AXE.read_text(encoding="utf-8")
