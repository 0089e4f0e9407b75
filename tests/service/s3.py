"""A real S3-speaking server, over HTTP, on a free port of this machine; a bucket of its own for each test.

Use it as `from tests.service.s3 import bucket, s3_server  # noqa: F401` and ask for `bucket`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import boto3  # type: ignore[import-untyped]  # comes with moto, without types
import pytest
from moto.server import ThreadedMotoServer

KEY_ID, SECRET, REGION = "test-key", "test-secret", "us-east-1"


@dataclass(frozen=True)
class Bucket:
    """An empty bucket."""

    endpoint: str
    name: str

    @property
    def settings(self) -> dict[str, Any]:
        """Arguments of `Settings` that lead here."""
        return {
            "store": f"s3://{self.name}/some/prefix",
            "s3_endpoint": self.endpoint,
            "s3_region": REGION,
            "s3_key_id": KEY_ID,
            "s3_secret": SECRET,
        }

    @property
    def environment(self) -> dict[str, str]:
        """The same for another process."""
        return {f"PLUMBREP_{name.upper()}": value for name, value in self.settings.items()}

    def contents(self) -> dict[str, bytes]:
        """Everything in the bucket, as another client sees it."""
        client = _client(self.endpoint)
        found = client.list_objects_v2(Bucket=self.name).get("Contents", [])
        return {each["Key"]: client.get_object(Bucket=self.name, Key=each["Key"])["Body"].read() for each in found}


@pytest.fixture(scope="session")
def s3_server() -> Iterator[str]:
    """The address of the server."""
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    yield f"http://{host}:{port}"
    server.stop()


@pytest.fixture
def bucket(s3_server: str) -> Bucket:
    """A new bucket."""
    made = Bucket(s3_server, f"clips-{uuid4().hex}")
    _client(s3_server).create_bucket(Bucket=made.name)
    return made


def _client(endpoint: str) -> Any:
    return boto3.client(
        "s3", endpoint_url=endpoint, region_name=REGION, aws_access_key_id=KEY_ID, aws_secret_access_key=SECRET
    )
