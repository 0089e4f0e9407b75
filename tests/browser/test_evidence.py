"""The clip of a rep with its overlay and plots: what a coach looks at before ruling."""

import numpy as np
import pytest
from playwright.sync_api import FloatRect, Locator, Page, expect
from sqlalchemy import select

from service.api.sampling import is_drawn
from service.jobs.series import read_series
from service.records import Clip, Correction
from tests.browser.conftest import Visits
from tests.browser.filmed import Filmed
from tests.browser.looks import drawn, seen_clip, until
from tests.browser.site import Site

AROUND = 0.7
"""Seconds that are looped before and after a rep."""


def cursors(page: Page) -> list[float]:
    return [float(each) for each in page.locator(".u-over .now").evaluate_all("all => all.map(e => e.dataset.moment)")]


def test_cursor_and_clip_are_locked_both_ways(visit: Visits, site: Site, clip: Clip, filmed: Filmed) -> None:
    times = read_series(filmed.folder.series).time
    page = visit(f"/review/{clip.id}", "desktop", site.home.coach).page
    seen_clip(page)
    over = page.locator(".plot .u-over").first
    over.scroll_into_view_if_needed()
    box = over.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 10)
    page.wait_for_function(
        "() => document.querySelector('.now').dataset.moment > 1.5 && !document.querySelector('#video').seeking"
    )
    moments = cursors(page)
    at = float(page.evaluate("document.querySelector('#video').currentTime"))
    frame = int(np.searchsorted(times, at, side="right")) - 1
    assert moments == [pytest.approx(times[frame], abs=1e-4)] * 3
    assert page.locator("#moment").inner_text() == f"{times[frame]:.2f} s"
    page.keyboard.press("ArrowRight")
    page.wait_for_function("before => document.querySelector('.now').dataset.moment > before + 0.001", arg=moments[0])
    assert cursors(page) == [pytest.approx(times[frame + 1], abs=1e-4)] * 3
    page.keyboard.press("Space")
    page.wait_for_function("before => document.querySelector('.now').dataset.moment > before + 0.3", arg=moments[0])
    page.keyboard.press("Space")
    page.wait_for_function("() => document.querySelector('#video').paused")
    assert all(np.min(np.abs(times - moment)) < 1e-4 for moment in cursors(page))


def begin_of_lowering(page: Page) -> tuple[Locator, FloatRect]:
    """What is dragged, and where it is."""
    handle = page.get_by_role("slider", name="lowering begins")
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    assert box is not None
    return handle, box


def test_a_boundary_is_dragged_and_measured_again(visit: Visits, site: Site, clip: Clip, filmed: Filmed) -> None:
    effort = site.efforts(clip)[0]
    times = read_series(filmed.folder.series).time
    page = visit(f"/review/{effort.set_id}?effort={effort.id}", "desktop", site.home.coach).page
    seen_clip(page)
    handle, box = begin_of_lowering(page)
    page.mouse.move(box["x"] + 12, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] - 8, box["y"] + 20, steps=5)
    page.mouse.up()
    expect(page.locator("#tempo thead")).to_contain_text("After your correction")
    with site.parts.database.session() as records:
        made = records.scalars(select(Correction)).one()
    moved = made.boundaries["lowering.start"]
    assert moved < effort.start
    assert np.min(np.abs(times - moved)) < 1e-6
    lowering = page.locator("#tempo tr").filter(has_text="lowering")
    machine = float(effort.lowering_s or 0)
    expect(lowering).to_contain_text(f"{machine:.2f} ±")
    expect(lowering).to_contain_text(f"{machine + effort.start - moved:.2f} ±")
    with page.expect_response("**/corrections") as answer:
        handle.focus()
        page.keyboard.press("ArrowRight")
    assert answer.value.status == 201
    with site.parts.database.session() as records:
        both = list(records.scalars(select(Correction.boundaries).order_by(Correction.made)))
    assert both[1]["lowering.start"] == pytest.approx(times[np.searchsorted(times, moved + 1e-6)])


def test_a_boundary_is_dragged_by_touch(visit: Visits, site: Site, clip: Clip) -> None:
    effort = site.efforts(clip)[0]
    page = visit(f"/review/{effort.set_id}?effort={effort.id}", "phone", site.home.coach).page
    seen_clip(page)
    _, box = begin_of_lowering(page)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    finger = page.context.new_cdp_session(page)
    for kind, at in (("touchStart", x), ("touchMove", x - 4), ("touchMove", x - 8), ("touchEnd", None)):
        points = [] if at is None else [{"x": at, "y": y}]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    expect(page.locator("#tempo thead")).to_contain_text("After your correction")
    with site.parts.database.session() as records:
        made = records.scalars(select(Correction)).one()
    assert made.boundaries["lowering.start"] < effort.start


def test_the_clip_loops_around_the_rep_at_the_chosen_speed(visit: Visits, site: Site, clip: Clip) -> None:
    effort = site.efforts(clip)[1]
    page = visit(f"/review/{effort.set_id}?effort={effort.id}", "desktop", site.home.coach).page
    seen_clip(page)
    page.locator("#speed").select_option("2")
    page.evaluate("""() => {
        window.shown = [];
        const video = document.querySelector('#video');
        const look = (_now, { mediaTime }) => { window.shown.push(mediaTime); video.requestVideoFrameCallback(look); };
        video.requestVideoFrameCallback(look);
    }""")
    page.get_by_role("button", name="Play").click()
    until(page, "window.shown.some((time, n) => time < window.shown[n - 1] - 1)")
    shown = page.evaluate("window.shown")
    assert page.evaluate("document.querySelector('#video').playbackRate") == 2
    assert min(shown) > effort.start - AROUND - 0.1
    assert max(shown) < effort.end + AROUND + 0.3
    page.keyboard.press("-")
    expect(page.locator("#speed")).to_have_value("1")


def test_what_was_measured_is_drawn_and_told(visit: Visits, site: Site, clip: Clip) -> None:
    effort = next(each for each in site.efforts(clip) if not is_drawn(each))
    page = visit(f"/review/{effort.set_id}?effort={effort.id}", "desktop", site.home.coach).page
    seen_clip(page)
    until(page, "!document.querySelector('#video').seeking")
    assert drawn(page, "#overlay", "#ffd166"), "the body line"
    assert drawn(page, "#overlay", "#9ad1ff"), "the level line"
    for plot in ("Body angle", "Elbow angle", "Speed of the elbow"):
        canvas = f"[data-plot='{plot}'] canvas"
        shades = ("measured", "lowering", "raising") if "Speed" in plot else ("measured", "band", "lowering", "raising")
        assert [each for each in shades if not drawn(page, canvas, each)] == []
    assert drawn(page, "[data-plot='Elbow angle'] canvas", "limit")
    expect(page.get_by_role("region", name="Elbow angle at the ends of the strokes")).to_contain_text("lowering begins")
    lowering = page.locator("table.checks tr").filter(has=page.get_by_role("rowheader", name="lowering"))
    expect(lowering).to_contain_text("missed")
    expect(lowering).to_contain_text(f"{effort.lowering_s:.2f} ±{effort.lowering_u95:.2f} s")
    expect(lowering).to_contain_text("at least 2.5 s")
    expect(lowering).to_contain_text("< 1 %")


BODY_LINE = """() => {
    const [canvas, video] = [document.querySelector("#overlay"), document.querySelector("#video")];
    const copy = new OffscreenCanvas(canvas.width, canvas.height).getContext("2d", { willReadFrequently: true });
    copy.drawImage(canvas, 0, 0);
    const above = canvas.height - Math.ceil(44 * devicePixelRatio); // the strip of strokes lies below
    const { data } = copy.getImageData(0, 0, canvas.width, above);
    const columns = [];
    for (let i = 0; i < data.length; i += 4) if (data[i] === 255 && data[i + 1] === 209 && data[i + 2] === 102) columns.push((i / 4) % canvas.width);
    const scale = Math.min(canvas.width / video.videoWidth, canvas.height / video.videoHeight);
    const [left, wide] = [(canvas.width - video.videoWidth * scale) / 2, video.videoWidth * scale];
    return [Math.min(...columns), Math.max(...columns)].map((x) => (x - left) / wide);
}"""
"""Where the body line begins and ends, as shares of the picture's width."""


def test_the_body_line_stays_on_the_body_where_the_picture_is_narrow(visit: Visits, site: Site, clip: Clip) -> None:
    """As one is that was filmed upright: it stands in the middle, with black beside it."""
    page = visit(f"/review/{clip.id}", "desktop", site.home.coach).page
    seen_clip(page)
    until(page, "!document.querySelector('#video').seeking")
    wide = page.evaluate(BODY_LINE)
    assert 0.5 < wide[1] - wide[0] < 0.9
    page.set_viewport_size({"width": 1280, "height": 320})
    until(page, "document.querySelector('#video').clientWidth < 0.7 * document.querySelector('#overlay').clientWidth")
    page.wait_for_timeout(200)
    assert page.evaluate(BODY_LINE) == pytest.approx(wide, abs=0.03)
