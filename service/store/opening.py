"""The store that the settings name."""

from datetime import timedelta
from typing import TYPE_CHECKING, Final

from obstore.store import LocalStore, ObjectStore, S3Store

from service.settings import Settings
from service.store.store import Store

if TYPE_CHECKING:
    from obstore.store import ClientConfig, RetryConfig, S3Config

PATIENCE: Final = timedelta(minutes=15)
"""For one request: a clip of 500 MB at 5 Mbit/s."""
RETRIES: "Final[RetryConfig]" = {"max_retries": 4, "retry_timeout": timedelta(seconds=30)}
"""Somebody may be waiting: a store that stays away is told of after a few seconds."""


def open_store(settings: Settings) -> Store:
    """The store of the settings; a local folder is made if it is missing, a bucket is not."""
    return Store(_bucket(settings) if settings.store else _folder(settings))


def _folder(settings: Settings) -> ObjectStore:
    settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
    # Keys begin with `clips/`, so that a clip lies in `data/clips/<clip id>`, beside the database and out of its reach.
    return LocalStore(settings.data.resolve(), automatic_cleanup=True)


def _bucket(settings: Settings) -> ObjectStore:
    bucket, _, prefix = settings.store.removeprefix("s3://").partition("/")
    config: S3Config = {"region": settings.s3_region}
    client: ClientConfig = {"timeout": PATIENCE}
    if settings.s3_endpoint:
        config["endpoint"] = settings.s3_endpoint
        client["allow_http"] = settings.s3_endpoint.startswith("http://")
    if settings.s3_key_id.get_secret_value():  # else as the machine provides
        config["access_key_id"] = settings.s3_key_id.get_secret_value()
        config["secret_access_key"] = settings.s3_secret.get_secret_value()
    return S3Store(bucket, prefix=prefix or None, config=config, client_options=client, retry_config=RETRIES)
