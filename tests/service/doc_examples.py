"""Run each example of docs/commands.md and docs/paths.md again and put its output in its place: `python -m tests.service.doc_examples`.

An example is a block of code that begins with `$ plumbrep`; what follows in the block is its output. With names of
commands behind it (`python -m tests.service.doc_examples demand path`) only theirs are run.
"""

import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.service.conftest import ENVIRONMENT, ROOT

PAGE = ROOT / "docs" / "commands.md"
PAGES = (PAGE, ROOT / "docs" / "paths.md")
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
    """Rewrite the pages."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "sample_clips").symlink_to(ROOT / "sample_clips")

        def again(example: re.Match[str]) -> str:
            if len(sys.argv) > 1 and example[1].partition(" ")[0] not in sys.argv[1:]:
                return example[0]
            return f"```\n$ plumbrep {example[1]}\n{output(example[1], folder)}```"

        for page in PAGES:
            page.write_text(EXAMPLE.sub(again, page.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
