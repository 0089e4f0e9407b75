"""The settings for a command, and the store's refusals in words that a user can mend."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from models.errors import BadInput

if TYPE_CHECKING:
    from service.settings import Settings


class SettingsError(BadInput):
    """The settings in the environment cannot be used, or what they lead to cannot be reached."""


def read_settings() -> "Settings":
    """The settings of the environment.

    Raises:
        SettingsError: one of them is wrong.
    """
    from pydantic import ValidationError

    from service.settings import Settings

    try:
        return Settings()
    except ValidationError as faults:
        fault = faults.errors(include_url=False, include_input=False)[0]
        name = "_".join(["PLUMBREP", *(str(part).upper() for part in fault["loc"])])
        where = f"the setting {name}" if fault["loc"] else "the settings"
        raise SettingsError(f"{where}: {fault['msg'].removeprefix('Value error, ')}") from faults


def require_folder(settings: "Settings") -> None:
    """Make the data folder where it is missing.

    Raises:
        SettingsError: it cannot be made, or not be written to.
    """
    try:
        settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as fault:
        raise SettingsError(
            f"the data folder {settings.data} cannot be made: {fault.strerror}; set PLUMBREP_DATA"
        ) from fault
    if not os.access(settings.data, os.W_OK | os.X_OK):
        raise SettingsError(f"the data folder {settings.data} cannot be written to: set PLUMBREP_DATA to one that can")


@contextmanager
def reaching() -> Iterator[None]:
    """Turn a database or a store that cannot be reached into an error that the user can mend.

    Raises:
        SettingsError: it cannot be reached.
    """
    from sqlalchemy.exc import OperationalError

    from service.store import StoreError

    try:
        yield
    except StoreError as fault:
        raise SettingsError(f"{fault}; check the settings of the store") from fault
    except OperationalError as fault:
        said = str(fault.orig).splitlines()[0]
        raise SettingsError(
            f"the database cannot be used: {said}; check PLUMBREP_DATABASE and PLUMBREP_DATA"
        ) from fault
