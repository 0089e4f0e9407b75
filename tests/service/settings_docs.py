"""Renew the table of settings in docs/running.md from the settings themselves: `python -m tests.service.settings_docs`."""

from pydantic import SecretStr

from service.settings import Settings
from tests.service.conftest import ROOT

PAGE = ROOT / "docs" / "running.md"
HEAD = "| setting | if not set | meaning |\n|---|---|---|\n"


def table() -> str:
    """The table as it should stand."""
    return HEAD + "".join(
        f"| `PLUMBREP_{name.upper()}` | {_default(name)} | {field.description} |\n"
        for name, field in Settings.model_fields.items()
    )


def written() -> str:
    """The table as it stands."""
    text = PAGE.read_text(encoding="utf-8")
    start = text.index(HEAD)
    return text[start : text.find("\n\n", start) + 1 or len(text)]


def _default(name: str) -> str:
    default = Settings.model_fields[name].default
    if name == "data":
        return "the user's data folder"
    if isinstance(default, SecretStr) or default in ("", None):
        return "-"
    if isinstance(default, bool):
        return f"`{str(default).lower()}`"
    return f"`{default:g}`" if isinstance(default, float) else f"`{default}`"


def main() -> None:
    """Rewrite the page."""
    text = PAGE.read_text(encoding="utf-8")
    PAGE.write_text(text.replace(written(), table()), encoding="utf-8")


if __name__ == "__main__":
    main()
