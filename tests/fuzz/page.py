"""Requests that the review page's own OpenAPI document allows, made by Schemathesis and sent to it."""

import re
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import seed as hypothesis_seed

from dictate.settings import Settings
from dictate.store.database import open_database
from dictate.web.app import create_app
from dictate.web.desk import Desk
from dictate.web.gate import Gate
from tests.fake_engine import FakeEngine

sys.path.insert(0, str(Path(__file__).parents[1] / "faults"))
import day

__all__ = ["Page", "opened", "try_all"]

_HERE = "http://127.0.0.1"


@dataclass(slots=True)
class Page:
    """The page over a day's record, and a browser that may be let in again."""

    client: TestClient
    link: str
    headers: dict[str, str] = field(default_factory=dict)

    @property
    def app(self) -> Any:
        return self.client.app

    def enter(self) -> None:
        self.client.cookies.clear()
        self.client.get(self.link)
        found = re.search(r'name="csrf" value="([^"]+)"', self.client.get("/settings").text)
        assert found, "the page lets nobody in"
        self.headers = {"X-CSRF-Token": found.group(1)}


@contextmanager
def opened(home: Path) -> Iterator[Page]:
    """The page of a home with a day's confirmed record; the environment must name the home."""
    day.run_day(home)
    own = Settings(home=home, trimmer="Robin Field", farm="Alder Farm")
    gate = Gate("Robin Field", clock=time.monotonic)
    with open_database(own.database_url) as database:
        desk = Desk(
            database=database, settings=own, gate=gate, open_engine=lambda _roster: FakeEngine({})
        )
        client = TestClient(
            create_app(desk), base_url=_HERE, follow_redirects=False, raise_server_exceptions=False
        )
        with client:
            yield Page(client, f"/enter?token={gate.link_token}")


def try_all(page: Page, *, examples: int, seed: int = 1) -> tuple[Counter[int], list[str]]:
    """Try every operation; how often each status came, and the requests that broke the page."""
    schema = schemathesis.openapi.from_dict(page.app.openapi())
    statuses: Counter[int] = Counter()
    broken: list[str] = []
    page.enter()
    for result in schema.get_all_operations():
        operation = result.ok()

        @hypothesis_seed(seed)
        @settings(
            max_examples=examples,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        )
        @given(case=operation.as_strategy())
        def tried(case: Any) -> None:
            request = case.as_transport_kwargs(base_url=_HERE)
            request["headers"] = {**(request.get("headers") or {}), **page.headers}
            request.pop("cookies", None)
            answer = page.client.request(**request)
            statuses[answer.status_code] += 1
            if answer.status_code >= 500:
                broken.append(f"{answer.status_code} {request}")

        tried()
        if operation.path in ("/enter", "/leave", "/pair"):
            page.enter()
    return statuses, broken
