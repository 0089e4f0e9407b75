"""Every text that code asks for is there, and every text that is there is asked for."""

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.pages.text import Words, all_words, say, words_for_scripts

SERVICE = Path(__file__).parents[3] / "service"
SAID = re.compile(r"""\bsay\(\s*["'`]([\w.]+)["'`]\s*[,)]""")
QUOTE = "[\"'`]"
ON_PAGES = [path.read_text() for kind in ("*.html", "*.py") for path in sorted((SERVICE / "pages").rglob(kind))]
IN_SCRIPTS = [path.read_text() for path in sorted((SERVICE / "web" / "src").rglob("*.ts"))]


def leaves(words: Words, place: str = "") -> Iterator[str]:
    for name, found in words.items():
        if isinstance(found, str) or set(found) == {"one", "other"}:
            yield f"{place}{name}"
        else:
            yield from leaves(found, f"{place}{name}.")


KEYS = list(leaves(all_words()))


def as_in_scripts(key: str) -> set[str]:
    """How scripts may know a text: by any of the sections that it stands in."""
    parts = key.split(".")
    return {".".join(parts[first:]) for first in range(1, len(parts) - 1)}


def test_pages_ask_only_for_texts_that_are_there() -> None:
    asked = {key for source in ON_PAGES for key in SAID.findall(source)}
    assert "common.sign_in.title" in asked
    assert asked <= set(KEYS)


def test_scripts_ask_only_for_texts_that_are_there() -> None:
    asked = {key for source in IN_SCRIPTS for key in SAID.findall(source)}
    assert "script.offline" in asked
    assert asked <= {each for key in KEYS for each in as_in_scripts(key)}


def test_every_text_is_asked_for() -> None:
    assert [key for key in KEYS if not is_asked_for(key)] == []


def is_asked_for(key: str) -> bool:
    """Whether some code spells the key, or its beginning where the end is put in: `say("common.menu." ~ word)`."""
    names = {key, *as_in_scripts(key)}
    beginnings = {name[: at.end()] for name in names for at in re.finditer(r"[._]", name)}
    ways = [re.escape(name) + QUOTE for name in names] + [
        re.escape(begin) + rf"({QUOTE}|\$?{{)" for begin in beginnings
    ]
    spelled = re.compile(f"{QUOTE}({'|'.join(ways)})")
    return any(spelled.search(source) for source in (*ON_PAGES, *IN_SCRIPTS))


def test_values_are_filled_in() -> None:
    assert say("common.layout.title", page="Today") == "Today - Plumbrep"
    with pytest.raises(KeyError):
        say("common.layout.title", wrong="Today")
    with pytest.raises(KeyError):
        say("common.layout.none")


def test_scripts_get_their_sections_as_data_that_cannot_end_the_element() -> None:
    element = words_for_scripts("common.link")
    told = json.loads(element.removeprefix('<script type="application/json" id="words">').removesuffix("</script>"))
    assert told == {"script": all_words()["common"]["script"], "link": all_words()["common"]["link"]}  # type: ignore[index]
