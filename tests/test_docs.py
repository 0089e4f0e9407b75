"""The documents against the repository: links lead somewhere, commands exist, numbers are those of the code."""

import importlib
import re
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pytest
import typer

from service.cli import app

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
METHOD = ROOT / "docs" / "method.md"
PAGES = [README, ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)\)")
COMMAND = re.compile(r"(?:^|(?<=`))plumbrep ([a-z][a-z-]*)([^`\n]*)", re.MULTILINE)
TARGET = re.compile(r"`make ([a-z]+)`")
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
TABLE = re.compile(r"^\| `(vision\.[a-z_]+)\.([A-Z_]+)`[^|]*\| ([^|]+) \|", re.MULTILINE)

LINKS = [(page, link) for page in PAGES for link in LINK.findall(page.read_text(encoding="utf-8"))]
RELATIVE = [(page, link) for page, link in LINKS if "://" not in link]
COMMANDS = COMMAND.findall(README.read_text(encoding="utf-8"))
NUMBERS = TABLE.findall(METHOD.read_text(encoding="utf-8"))


def name(value: object) -> str:
    return str(value.relative_to(ROOT)) if isinstance(value, Path) else str(value)


def anchors(page: Path) -> set[str]:
    """The names under which a page's headings can be linked to."""
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def options(command: str) -> set[str]:
    found = typer.main.get_group(app).commands[command]
    return {option for parameter in found.params for option in parameter.opts}


def test_every_page_is_linked_to_from_the_list_of_documents() -> None:
    linked = {(page.parent / link.partition("#")[0]).resolve() for page, link in RELATIVE if page.parent.name == "docs"}
    assert set(PAGES) <= linked | {ROOT / "docs" / "README.md"}


@pytest.mark.parametrize(("page", "link"), RELATIVE, ids=name)
def test_a_link_leads_somewhere(page: Path, link: str) -> None:
    file, _, anchor = link.partition("#")
    target = page.parent / file if file else page
    assert target.is_file()
    assert not anchor or anchor in anchors(target)


def test_the_readme_shows_every_command() -> None:
    assert {command for command, _ in COMMANDS} == set(typer.main.get_group(app).commands)


@pytest.mark.parametrize(("command", "rest"), COMMANDS)
def test_the_readme_invents_no_command_and_no_option(command: str, rest: str) -> None:
    assert set(re.findall(r"--[a-z-]+", rest)) <= options(command)


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_the_targets_of_make_exist(page: Path) -> None:
    targets = re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    assert set(TARGET.findall(page.read_text(encoding="utf-8"))) <= set(targets)


def test_the_method_has_its_numbers() -> None:
    assert len(NUMBERS) > 80
    assert len(set(NUMBERS)) == len(NUMBERS)


@pytest.mark.parametrize(("module", "constant", "printed"), NUMBERS)
def test_a_number_of_the_method_is_the_codes_own(module: str, constant: str, printed: str) -> None:
    """Rounded to as many places as the table prints."""
    value = getattr(importlib.import_module(module), constant)
    expected = list(value.values()) if isinstance(value, Mapping) else np.ravel(value).tolist()
    assert [float(number) for number in NUMBER.findall(printed)] == pytest.approx(expected, rel=1e-3)
    if isinstance(value, Mapping):
        assert re.findall(r"[a-z_]+", printed) == list(value)
