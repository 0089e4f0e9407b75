"""What the service tells of itself in numbers: Prometheus's text format at /metrics.

Requests and measuring are counted in the processes that do them; with `plumbrep serve` they share a folder, so that its
page tells of its workers too. How busy the queue is, is asked of the database, and so is true for all machines.
"""

from collections.abc import Iterator
from datetime import timedelta
from hmac import compare_digest
from ipaddress import ip_address
from typing import Final

from fastapi import APIRouter, Request, Response
from prometheus_client import CONTENT_TYPE_LATEST, REGISTRY, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector
from sqlalchemy import func, select

from service.api.deps import Parts
from service.api.problems import Problem
from service.api.state import Parts as AppParts
from service.records.base import now
from service.records.running import Beat
from service.running.shared import shared
from service.settings import Settings

metrics = APIRouter(include_in_schema=False)

REQUESTS: Final = Counter("plumbrep_http_requests", "Requests by route and status.", ["method", "route", "status"])
SECONDS: Final = Histogram(
    "plumbrep_http_seconds",
    "How long requests took, to the last byte.",
    ["route"],
    buckets=(0.01, 0.03, 0.1, 0.3, 1, 3, 10, 30, 100),
)


@metrics.get("/metrics")
def tell_metrics(request: Request, parts: Parts) -> Response:
    """All metrics; for this machine, and for whoever has the operator's token."""
    if not may_read(request, parts.settings):
        raise Problem(404)
    return Response(generate_latest(_registry(parts)), media_type=CONTENT_TYPE_LATEST)


def may_read(request: Request, settings: Settings) -> bool:
    """Whether it comes from this machine, or with the token. Behind a proxy everybody may seem to come from this machine."""
    token = settings.operator_token.get_secret_value()
    scheme, _, given = request.headers.get("authorization", "").partition(" ")
    if token and scheme.lower() == "bearer" and compare_digest(given.strip().encode(), token.encode()):
        return True
    if settings.behind_proxy or request.client is None:
        return False
    try:
        return ip_address(request.client.host).is_loopback
    except ValueError:
        return False


def _registry(parts: AppParts) -> CollectorRegistry:
    registry = CollectorRegistry()
    if shared():
        MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
    else:
        registry.register(REGISTRY)
    registry.register(_Busy(parts))
    return registry


class _Busy(Collector):
    """The queue and who works on it, as the database has it."""

    def __init__(self, parts: AppParts) -> None:
        self._parts = parts

    def collect(self) -> Iterator[GaugeMetricFamily]:
        depth = self._parts.queue.depth()
        yield GaugeMetricFamily("plumbrep_queue_waiting", "Clips that wait to be measured.", depth.waiting)
        yield GaugeMetricFamily("plumbrep_queue_running", "Clips that are being measured.", depth.running)
        age = "How long the oldest waiting clip has waited."
        yield GaugeMetricFamily("plumbrep_queue_oldest_seconds", age, depth.oldest_seconds)
        yield GaugeMetricFamily("plumbrep_workers", "Workers that give signs of life.", self._workers())

    def _workers(self) -> int:
        heard = now() - timedelta(seconds=2 * self._parts.settings.silent_seconds)
        with self._parts.database.session() as session:
            return session.scalar(select(func.count()).select_from(Beat).where(Beat.seen > heard)) or 0
