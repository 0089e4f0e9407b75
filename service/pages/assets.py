"""What the build made of `service/web`: scripts, styles and pictures under names that change with their content.

They are read once, when the app is made: a build beside a running server takes nothing away from its pages.
"""

import json
import mimetypes
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from markupsafe import Markup

DIST: Final = Path(__file__).parents[1] / "web" / "dist"
PLACE: Final = "/static"
TYPES: Final = {".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8"}
SMALLER: Final = ".br"


class NotBuiltError(RuntimeError):
    """The scripts and styles have not been made."""


@dataclass(frozen=True)
class Asset:
    """One file, as it is and compressed by Brotli."""

    media_type: str
    content: bytes
    smaller: bytes | None


@dataclass(frozen=True)
class Assets:
    """All files by their names, and which of them the sources became."""

    files: Mapping[str, Asset]
    names: Mapping[str, str]
    imports: Mapping[str, tuple[str, ...]]

    def address(self, source: str) -> str:
        """Where a page finds what was made of a source: `page.css` -> `/static/page-….css`.

        Raises:
            NotBuiltError: nothing was.
        """
        if source not in self.names:
            raise NotBuiltError(f"nothing was made of {source}; run `make pages`")
        return f"{PLACE}/{self.names[source]}"

    def script(self, source: str) -> Markup:
        """The elements that load a script, and at once what it imports."""
        preload = Markup('<link rel="modulepreload" href="{}/{}">')
        run = Markup('<script type="module" src="{}"></script>').format(self.address(source))
        return Markup("").join([*(preload.format(PLACE, name) for name in self.imports[source]), run])


@cache
def assets() -> Assets:
    """What was built; empty where nothing was."""
    manifest = DIST / "manifest.json"
    made = json.loads(manifest.read_text(encoding="utf-8")) if manifest.is_file() else {}
    files = sorted(DIST.iterdir()) if made else []
    return Assets(
        files={path.name: _read(path) for path in files if path.suffix not in (SMALLER, ".json")},
        names={source: entry["file"] for source, entry in made.items()},
        imports={source: tuple(entry["imports"]) for source, entry in made.items()},
    )


def _read(path: Path) -> Asset:
    media_type = TYPES.get(path.suffix) or mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    smaller = path.with_name(path.name + SMALLER)
    return Asset(media_type, path.read_bytes(), smaller.read_bytes() if smaller.is_file() else None)
