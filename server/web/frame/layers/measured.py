"""What is counted for somebody who runs the server. Loaded only where that is switched on."""

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest
from starlette.types import Scope

UNKNOWN = "(none)"
"""The address of whatever no route answers: a stranger must not be able to invent a label."""

BOUNDS_S = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0)


class Measures:
    """What is counted, in a registry of this app's own."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self.requests = Counter(
            "ninefifty_requests", "Answers given.", ("method", "route", "status"),
            registry=self.registry,
        )  # fmt: skip
        self.seconds = Histogram(
            "ninefifty_request_seconds", "Time until an answer began.", ("method", "route"),
            buckets=BOUNDS_S, registry=self.registry,
        )  # fmt: skip
        self.followers = Gauge(
            "ninefifty_followers", "Devices that follow a run just now.", registry=self.registry
        )
        self.database_bytes = Gauge(
            "ninefifty_database_bytes", "Size of the database file.", registry=self.registry
        )
        self.free_bytes = Gauge(
            "ninefifty_disk_free_bytes", "Room left where the data is.", registry=self.registry
        )

    def count(self, scope: Scope, status: int, took_s: float) -> None:
        """Count an answer that just began, by the pattern of its address."""
        route = getattr(scope.get("route"), "path", UNKNOWN)
        self.requests.labels(scope["method"], route, str(status)).inc()
        self.seconds.labels(scope["method"], route).observe(took_s)

    def text(self) -> bytes:
        """All of it in the Prometheus text format."""
        return generate_latest(self.registry)
