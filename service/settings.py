"""The settings of the service, read from the environment (`PLUMBREP_...`); unsafe ones are refused at the start."""

from ipaddress import ip_address
from pathlib import Path
from typing import Final, Literal, Self

import platformdirs
from pydantic import Field, SecretStr, model_validator
from pydantic_settings import BaseSettings, SettingsConfigDict

SHORTEST_TOKEN: Final = 24
"""Characters of the operator's token: it is sent as it is, and nobody types it."""


class Settings(BaseSettings):
    """Everything that can be set. With none set, one machine does it all and talks to itself alone."""

    model_config = SettingsConfigDict(
        env_prefix="PLUMBREP_", frozen=True, extra="ignore", use_attribute_docstrings=True
    )

    data: Path = Field(default_factory=lambda: Path(platformdirs.user_data_dir("plumbrep")))
    """Folder of the database, the clips, uploads on their way and backups."""
    database: str = ""
    """Address of a PostgreSQL database (`postgresql+psycopg://...`); empty: SQLite in the data folder."""
    store: str = ""
    """Where clips are kept (`s3://bucket/prefix`); empty: the data folder."""
    s3_endpoint: str = ""
    """Address of an S3-speaking store; empty: the provider's own."""
    s3_region: str = "us-east-1"
    """The store's region."""
    s3_key_id: SecretStr = SecretStr("")
    """Name of the key to the store; empty: as the machine provides."""
    s3_secret: SecretStr = SecretStr("")
    """That key's secret."""

    host: str = "127.0.0.1"
    """Address to listen at; `0.0.0.0` or `::` for all of this machine's."""
    port: int = Field(8080, ge=0, le=65535)
    """Port to listen at; 0: any that is free."""
    public_url: str = ""
    """How browsers reach the service; empty: from host and port."""
    tls_certificate: Path | None = None
    """File with the certificate and what links it to its authority, PEM."""
    tls_key: Path | None = None
    """File with its key, PEM, without a password."""
    behind_proxy: bool = False
    """A proxy in front ends TLS; only then are its forwarding headers believed, and plain HTTP beyond this machine allowed."""
    proxy_addresses: str = "127.0.0.1,::1"
    """Where that proxy is: addresses or networks, with commas between. What others say of themselves is not believed."""
    stop_seconds: float = Field(25, gt=0)
    """How long a stop waits for requests under way. An upload that takes longer goes on after the next start."""

    workers: int = Field(1, ge=0, le=64)
    """Workers that `plumbrep serve` starts beside itself; 0 where `plumbrep work` runs elsewhere."""
    job_seconds: float = Field(3600, ge=1)
    """The longest that measuring one clip may take; one in which nobody is seen at first is looked through twice."""
    job_memory_mb: int = Field(4096, ge=512)
    """The most memory that measuring one clip may take."""
    silent_seconds: float = Field(30, ge=1)
    """A worker that gives no sign of life for so long has died, and its jobs are handed on."""

    clip_max_mb: int = Field(500, ge=1)
    """The largest clip that is taken."""
    clip_max_seconds: float = Field(600, ge=1)
    """The longest."""
    clip_max_pixels: int = Field(3840 * 2160, ge=1)
    """Pixels of one frame: a file of kilobytes can ask for gigabytes."""
    keep_clips_days: int = Field(90, ge=1)
    """How long clips are kept where a gym has not set it."""
    keep_backups_days: int = Field(30, ge=1)
    """Backups older than this are deleted, and with them what was deleted since."""
    upload_hours: float = Field(24, gt=0)
    """How long an upload may be interrupted."""

    link_days: int = Field(30, ge=1)
    """How long an athlete's link counts, where it is not said."""
    session_idle_minutes: int = Field(120, ge=1)
    """After how long without a request a session ends."""
    session_hours: int = Field(12, ge=1)
    """After how long it ends anyway."""
    second_factor: bool = False
    """Whether coaches and owners must have a second factor; else it is theirs to set up, and asked for where it is."""

    webhooks: bool = False
    """Whether this machine may call the addresses that a gym has set for its program tool."""
    webhooks_private: bool = False
    """Whether those may lie on this machine or in its private network, and be spoken to without TLS."""

    log_level: Literal["debug", "info", "warning", "error"] = "info"
    """From what on is logged: `debug`, `info`, `warning`, `error`."""
    operator_token: SecretStr = SecretStr("")
    """Lets whoever sends it (`Authorization: Bearer ...`) read /metrics from other machines; empty: nobody."""
    metrics_port: int = Field(0, ge=0, le=65535)
    """Port of this machine's own address at which `plumbrep work` tells its metrics; 0: none."""

    @model_validator(mode="after")
    def _safe(self) -> Self:
        if (self.tls_certificate is None) != (self.tls_key is None):
            raise ValueError("set tls_certificate and tls_key together")
        if not _loopback(self.host) and self.tls_certificate is None and not self.behind_proxy:
            raise ValueError(
                f"host {self.host} can be reached from other machines: set tls_certificate and tls_key, or behind_proxy "
                "where a proxy ends TLS; passwords and clips must not travel in the clear"
            )
        if self.behind_proxy and not self.secure:
            raise ValueError("behind_proxy needs public_url, beginning with https://: cookies are kept to TLS by it")
        if self.store and not self.store.startswith("s3://"):
            raise ValueError("store must be empty or begin with s3://")
        if self.database and not self.database.startswith(("postgresql+psycopg://", "sqlite:///")):
            raise ValueError("database must begin with postgresql+psycopg:// or sqlite:///")
        if 0 < len(self.operator_token.get_secret_value()) < SHORTEST_TOKEN:
            raise ValueError(f"operator_token must have {SHORTEST_TOKEN} characters or more, best drawn at random")
        return self

    @property
    def database_url(self) -> str:
        """The database's address."""
        return self.database or f"sqlite:///{self.data / 'plumbrep.db'}"

    @property
    def scheme(self) -> str:
        """How this process speaks: https with a certificate of its own."""
        return "https" if self.tls_certificate else "http"

    @property
    def url(self) -> str:
        """How browsers reach the service, without a slash at the end."""
        return (self.public_url or f"{self.scheme}://{self.host}:{self.port}").rstrip("/")

    @property
    def secure(self) -> bool:
        """Whether browsers come over TLS, so that cookies can be kept to it."""
        return self.url.startswith("https://")


def _loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False
