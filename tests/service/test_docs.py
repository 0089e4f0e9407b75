"""docs/commands.md against the commands themselves."""

import re
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from service.cli import app
from tests.service.doc_examples import EXAMPLE, PAGE, output

TEXT = PAGE.read_text(encoding="utf-8")
COMMANDS = sorted(typer.main.get_group(app).commands)


def options(command: str) -> list[str]:
    shown = CliRunner().invoke(app, [command, "--help"])
    assert shown.exit_code == 0
    return re.findall(r"^ +(?:-\w, )?(--[a-z-]+)", shown.stdout, re.MULTILINE)


def section(command: str) -> str:
    (found,) = re.findall(rf"^## plumbrep {command}$(.*?)(?=^## |\Z)", TEXT, re.MULTILINE | re.DOTALL)
    return str(found)


def test_there_are_fourteen_commands() -> None:
    files = {"check", "demand", "demo", "draw", "measure", "movements", "path", "prescribe"}
    assert set(COMMANDS) == files | {"serve", "work", "gym", "backup", "restore", "tidy"}


@pytest.mark.parametrize("command", COMMANDS)
def test_each_option_is_explained_and_none_is_invented(command: str) -> None:
    known = set(options(command)) - {"--help"}
    assert set(re.findall(r"--[a-z][a-z-]+", section(command))) == known


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_an_example(command: str) -> None:
    assert f"$ plumbrep {command}" in section(command)


def test_the_catalogue_in_the_page_is_the_catalogue(tmp_path: Path) -> None:
    shown = [example for example in EXAMPLE.findall(TEXT) if example[0].startswith("movements")]
    assert shown
    for arguments, printed in shown:
        assert output(arguments, tmp_path) == printed
