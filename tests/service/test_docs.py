"""docs/commands.md against the commands themselves."""

import re

import pytest
import typer
from typer.testing import CliRunner

from service.cli import app
from tests.service.conftest import ROOT

TEXT = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
COMMANDS = sorted(typer.main.get_group(app).commands)


def options(command: str) -> list[str]:
    shown = CliRunner().invoke(app, [command, "--help"])
    assert shown.exit_code == 0
    return re.findall(r"^ +(?:-\w, )?(--[a-z-]+)", shown.stdout, re.MULTILINE)


def section(command: str) -> str:
    (found,) = re.findall(rf"^## plumbrep {command}$(.*?)(?=^## |\Z)", TEXT, re.MULTILINE | re.DOTALL)
    return str(found)


def test_there_are_five_commands() -> None:
    assert COMMANDS == ["check", "demo", "draw", "measure", "movements"]


@pytest.mark.parametrize("command", COMMANDS)
def test_each_option_is_explained_and_none_is_invented(command: str) -> None:
    known = set(options(command)) - {"--help"}
    assert set(re.findall(r"--[a-z][a-z-]+", section(command))) == known


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_an_example(command: str) -> None:
    assert f"$ plumbrep {command}" in section(command)
