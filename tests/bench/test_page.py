"""docs/accuracy.md is what the bench writes from the figures beside it, and nothing else."""

from pathlib import Path

import pytest

from tests.bench import page
from tests.bench.cache import ROOT
from tests.bench.made_up import whole_report
from tests.bench.report import Report
from tests.bench.targets import TARGETS

PAGE = ROOT / "docs" / "accuracy.md"


def test_the_page_is_what_the_figures_beside_it_give() -> None:
    kept = Report.model_validate_json(PAGE.with_suffix(".json").read_text(encoding="utf-8"))
    assert page.render(kept) == PAGE.read_text(encoding="utf-8")


def test_a_report_survives_being_kept(tmp_path: Path) -> None:
    made = whole_report()
    page.write(made, tmp_path / "page.md")
    kept = (tmp_path / "page.json").read_text(encoding="utf-8")
    assert Report.model_validate_json(kept) == made
    assert page.render(made) == (tmp_path / "page.md").read_text(encoding="utf-8")


def test_every_target_has_its_row_in_both_corpora() -> None:
    text = page.render(whole_report())
    for target in TARGETS:
        if target.words:
            assert text.count(f"| {target.title}, {target.unit} |") == 2, target.title


def test_what_fails_is_named() -> None:
    text = page.render(whole_report())
    fails = text.partition("### What fails")[2].partition("## ")[0]
    assert "lowering" in fails.splitlines()[2]  # errors of about a second, target 0.05 s


def test_a_page_needs_both_corpora(tmp_path: Path) -> None:
    half = whole_report().model_copy(update={"corpora": ()})
    with pytest.raises(ValueError, match="measure"):
        page.write(half, tmp_path / "page.md")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("lacking", [{"speed": None}, {"parts": ()}])
def test_what_was_not_measured_is_said(lacking: dict[str, object]) -> None:
    assert page.NOT_MEASURED in page.render(whole_report().model_copy(update=lacking))


def test_of_a_whole_report_nothing_is_said_to_lack() -> None:
    assert page.NOT_MEASURED not in page.render(whole_report())
