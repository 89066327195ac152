"""Every page of one very large herd: `python tests/bench/large_herd.py [--findings 200000]`.

One farm with twenty years of findings (see `herd_queries.py`, which fills it). Prints the best and the
worst of some requests to each page, and the processor's time of the best, through the program itself
without a network between. What the program loads before or beside its first page is loaded first.
"""

import argparse
import importlib
import sys
import tempfile
import time
from pathlib import Path

from fastapi.testclient import TestClient

sys.path.insert(0, str(Path(__file__).parent))
from herd_queries import TODAY, fill

from dictate.settings import Settings
from dictate.store.database import open_database
from dictate.store.record_entry import settle_all_cases
from dictate.web.app import create_app
from dictate.web.desk import Desk
from dictate.web.gate import Gate
from dictate.web.serve import PLOTS, warm_up

PAGES = (
    "/", "/?turn=40", "/visits/100", "/visits/100/queue", "/visits/100/unmarked", "/visits/100/sheet",
     "/animals?farm=1", "/animals?farm=1&find=19", "/animals/7",
    "/herd?farm=1", "/herd?farm=1&span=all", "/follow-ups?farm=1&span=all", "/follow-ups.ics?farm=1", "/bill?visit=100",
    "/farms", "/farms/1", "/learnt", "/roster", "/settings", "/settings/hearing", "/settings/safe",
    "/glossary", "/record", "/first-steps", "/farms/1/herd", "/farms/1/herd?span=all",
    "/farms/1/herd/annex", "/farms/1/herd/annex?span=all", "/farms/1/herd/cases?turn=9", "/voice",
)  # fmt: skip
RUNS = 3


def main() -> None:
    """Fill one herd, or take the file named, and ask for each page."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--findings", type=int, default=200_000)
    options.add_argument("--animals", type=int, default=100, help="In the herd, at least.")
    options.add_argument("--keep", type=Path, help="A file to fill once and use again.")
    asked = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = asked.keep or Path(folder) / "record.db"
        if not path.exists():
            fill(path, asked.findings, 1, herd=asked.animals)
        with open_database(f"sqlite:///{path}") as database:
            with database.writing() as session:
                settle_all_cases(session)
            settings = Settings(home=Path(folder), trimmer="Robin Field", farm="Farm 1")
            gate = Gate(settings.trimmer, clock=time.monotonic)
            desk = Desk(
                database=database,
                settings=settings,
                gate=gate,
                open_engine=_deaf,
                today=lambda: TODAY,
            )
            warm_up()
            importlib.import_module(PLOTS)
            page = TestClient(create_app(desk), base_url="http://127.0.0.1")
            page.get("/enter", params={"token": gate.link_token})
            print("| page | best ms | worst ms | processor ms | bytes |\n|---|---|---|---|---|")
            for address in PAGES:
                print(_row(page, address), flush=True)


def _row(page: TestClient, address: str) -> str:
    took, worked, size = [], [], 0
    for _ in range(RUNS):
        began, began_work = time.perf_counter(), time.process_time()
        answer = page.get(address)
        took.append(1000 * (time.perf_counter() - began))
        worked.append(1000 * (time.process_time() - began_work))
        size = len(answer.content)
        if answer.status_code != 200:
            return f"| {address} | status {answer.status_code} | | | |"
    return f"| {address} | {min(took):.0f} | {max(took):.0f} | {min(worked):.0f} | {size:,} |"


def _deaf(_roster: object) -> object:
    raise RuntimeError("nothing is heard here")


if __name__ == "__main__":
    main()
