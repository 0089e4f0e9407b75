"""How pages are looked at: sizes, colour schemes, accessibility, pictures."""

from functools import cache
from pathlib import Path
from typing import Any, Final, Literal

from playwright.sync_api import Page, ViewportSize

Profile = Literal["phone", "desktop"]
SIZES: Final[dict[Profile, ViewportSize]] = {
    "phone": {"width": 390, "height": 844},
    "desktop": {"width": 1280, "height": 800},
}
CONTEXTS: Final[dict[Profile, dict[str, Any]]] = {
    "phone": {"viewport": SIZES["phone"], "is_mobile": True, "has_touch": True},
    "desktop": {"viewport": SIZES["desktop"]},
}
SCHEMES: Final[tuple[Literal["light", "dark"], ...]] = ("light", "dark")
RULES: Final = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
AXE: Final = Path(__file__).parents[2] / "service" / "web" / "node_modules" / "axe-core" / "axe.min.js"


def assert_accessible(page: Page) -> None:
    """Ask axe-core for violations of WCAG 2.2 AA, in light and dark; and that nothing makes the page scroll sideways."""
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        page.evaluate(_axe())
        found = page.evaluate("rules => axe.run(document, {runOnly: rules, resultTypes: ['violations']})", RULES)
        told = [
            f"{scheme}: {each['id']}: {each['help']}: {node['html']} {node['failureSummary']}"
            for each in found["violations"]
            for node in each["nodes"]
        ]
        assert not told, "\n".join(told)
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0


def take_pictures(page: Page, folder: Path, name: str) -> list[Path]:
    """Pictures of the page in all looks, `NAME-phone-dark.png`: to be looked at by whoever changes it."""
    folder.mkdir(parents=True, exist_ok=True)
    before, taken = page.viewport_size, []
    for profile, size in SIZES.items():
        page.set_viewport_size(size)
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            taken.append(folder / f"{name}-{profile}-{scheme}.png")
            page.screenshot(path=taken[-1], full_page=True, scale="css")
    if before is not None:
        page.set_viewport_size(before)
    return taken


@cache
def _axe() -> str:
    return AXE.read_text(encoding="utf-8")
