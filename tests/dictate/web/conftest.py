"""The page over a test database, as a browser that was let in sees it."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from fastapi.testclient import TestClient

from dictate.settings import Settings
from dictate.store.database import Database
from dictate.web.app import create_app
from dictate.web.desk import Desk
from dictate.web.gate import Gate

HERE = "http://127.0.0.1"


class Clock:
    """Time that stands still until it is moved."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@dataclass
class Browser:
    """A client that keeps its cookie and fills the token into what it posts."""

    client: TestClient
    csrf: str = ""

    def get(self, path: str, **more: Any) -> Any:
        return self.client.get(path, **more)

    def post(self, path: str, data: dict[str, Any] | None = None, **more: Any) -> Any:
        return self.client.post(path, data={"csrf": self.csrf, **(data or {})}, **more)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def gate(clock: Clock) -> Gate:
    return Gate("Robin Field", clock=clock)


@pytest.fixture
def desk(database: Database, settings: Settings, gate: Gate) -> Desk:
    def no_engine(_roster: object) -> Any:
        raise AssertionError("no test of the page hears anything")

    return Desk(database=database, settings=settings, gate=gate, open_engine=no_engine)


@pytest.fixture
def stranger(desk: Desk) -> Iterator[TestClient]:
    """A browser that nobody let in."""
    with TestClient(create_app(desk), base_url=HERE, follow_redirects=False) as client:
        yield client


@pytest.fixture
def browser(stranger: TestClient, gate: Gate) -> Browser:
    """A browser that came through the terminal's link."""
    stranger.get(f"/enter?token={gate.link_token}")
    found = re.search(r'name="csrf" value="([^"]+)"', stranger.get("/settings").text)
    assert found
    return Browser(client=stranger, csrf=found.group(1))


@pytest.fixture
def version_of(database: Database) -> Callable[[int], int]:
    from dictate.store.clips import entry_by_id

    def version(entry_id: int) -> int:
        with database.reading() as session:
            return entry_by_id(session, entry_id).version

    return version
