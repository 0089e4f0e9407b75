"""Draft the next migration from what changed in the tables: `python -m tests.service.records.draft "Words that say what"`.

Read it before it is kept: renamed columns look like dropped ones, and what rows need cannot be told from tables.
"""

import sys
import tempfile
from pathlib import Path

from alembic import command

from service.records import migrate


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        url = f"sqlite:///{Path(folder) / 'draft.db'}"
        migrate.upgrade(url)
        following = f"{len(list(migrate._scripts().walk_revisions())) + 1:04}"
        with migrate._alone(url) as connection:
            command.revision(migrate._config(connection), sys.argv[1], autogenerate=True, rev_id=following)


if __name__ == "__main__":
    main()
