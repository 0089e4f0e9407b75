"""Run each example of docs/commands.md again and put its output in its place: `python -m tests.service.doc_examples`.

An example is a block of code that begins with `$ plumbrep`; what follows in the block is its output.
"""

import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.service.conftest import ENVIRONMENT, ROOT

PAGE = ROOT / "docs" / "commands.md"
EXAMPLE = re.compile(r"^```\n\$ plumbrep ([^\n]+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
WIDTH = "116"


def output(arguments: str, folder: Path) -> str:
    """What the command prints, run in a folder that shows the sample clips."""
    command = [sys.executable, "-m", "service.cli", *shlex.split(arguments)]
    environment = ENVIRONMENT | {"COLUMNS": WIDTH}
    run = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    lines = (run.stdout + run.stderr).replace(f"{ROOT}/", "").splitlines()
    return "".join(f"{line.rstrip()}\n" for line in lines)


def main() -> None:
    """Rewrite the page."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "sample_clips").symlink_to(ROOT / "sample_clips")

        def again(example: re.Match[str]) -> str:
            return f"```\n$ plumbrep {example[1]}\n{output(example[1], folder)}```"

        PAGE.write_text(EXAMPLE.sub(again, PAGE.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
