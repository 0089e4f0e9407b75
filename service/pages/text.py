"""The words of the pages, in one place, so that they can be translated: the files in `english/`, one a part of the pages.

A key is the file's name and the places within it: `common.sign_in.title`. A text may have the forms `one` and `other`, chosen by
a number n. Scripts get the sections that they need along with their page.
"""

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Final, TypeAlias

from jinja2.utils import htmlsafe_json_dumps
from markupsafe import Markup

LANGUAGE: Final = "en"
FOLDER: Final = "english"
DEGREES: Final = re.compile(r" deg(rees)?\b(?!/)")
Words: TypeAlias = Mapping[str, "str | Words"]


def say(key: str, **values: str | float) -> str:
    """The text of a key, with `{name}` filled in from the values.

    Raises:
        KeyError: there is no such text, or a value is missing.
    """
    found = _at(key)
    if not isinstance(found, str) and "n" in values:
        found = found["one" if values["n"] == 1 else "other"]
    if not isinstance(found, str):
        raise KeyError(key)
    return found.format(**values) if values else found


def heading(words: str) -> str:
    """Words with a capital at their beginning."""
    return words[:1].upper() + words[1:]


def sentence(words: str) -> str:
    """Words of the measuring as a page writes them: a sentence, with its degrees as ° (`what is wrong; what to do`)."""
    written = DEGREES.sub("°", heading(words))
    return written if written.endswith((".", "!", "?")) else f"{written}."


def unit(name: str) -> str:
    """A unit as it follows a value, with the space that belongs before it."""
    return "°" if name in ("deg", "°") else f" {name}" if name else ""


def words_for_scripts(*sections: str) -> Markup:
    """The element that hands sections to a page's scripts, which find `script.offline` there as `script.offline`.

    A section of a file is known by its last word: of `athlete.film`, `film.ready` is found.
    """
    told = {section.rpartition(".")[2]: _at(section) for section in ("common.script", *sections)}
    return Markup('<script type="application/json" id="words">{}</script>').format(htmlsafe_json_dumps(told))


def _at(key: str) -> "str | Words":
    found: str | Words = all_words()
    for part in key.split("."):
        if isinstance(found, str) or part not in found:
            raise KeyError(key)
        found = found[part]
    return found


@cache
def all_words() -> Words:
    """Every text, by the name of its file."""
    folder = files(__package__) / FOLDER
    return {
        file.name.removesuffix(".toml"): tomllib.loads(file.read_text(encoding="utf-8"))
        for file in folder.iterdir()
        if file.name.endswith(".toml")
    }
