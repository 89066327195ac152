"""Times every page over a large record: 1 million findings, 20,000 notes.

    python tests/bench/page_speed.py [--findings 1000000] [--rounds 60] [--keep FOLDER]

The record is invented: 100 farms of 200 animals, 2,000 visits of ten notes with ten entries each, and
one more visit whose hundred entries wait. Pages are asked for over HTTP, one after the other, from
another process than the one that serves them; each round takes another farm, visit, animal or entry.
Prints, as the table of docs/explanation/page-speed.md, milliseconds: median, 95th percentile and
longest; and, on Linux, the processor time that the serving process took for a page, which other
work on the machine does not lengthen.
"""

import argparse
import datetime as dt
import http.client
import itertools
import multiprocessing
import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import sqlalchemy as sa

from dictate.entry.values import ActionValues, EntryValues, FindingValues, FollowUpValues
from dictate.settings import Settings
from dictate.store.database import Database, open_database
from dictate.store.record_tables import Finding, FollowUp
from dictate.store.tables import Animal, Clip, Entry, Event, Farm, Note, Reading, Trimmer, Visit

FARMS, ANIMALS, NOTES, ENTRIES_A_NOTE, NOTES_A_VISIT = 100, 200, 20_000, 10, 10
LESIONS = ("sole ulcer", "white line disease", "digital dermatitis", "no lesion", "thin sole")
TODAY = dt.date(2026, 3, 2)
NOW = dt.datetime(2026, 3, 2, 18, tzinfo=dt.UTC)
WORDS = [
    {"text": word, "start": 0.4 * at, "end": 0.4 * at + 0.4, "confidence": 0.9}
    for at, word in enumerate("cow four twelve left hind outer sole ulcer zone four".split())
]
LIMIT_MS = 100
TOKEN = "bench"
Rows = Iterator[dict[str, object]]


def content(animal: int, findings: int, *, marked: bool = False) -> dict[str, object]:
    """The values of one entry as stored."""
    feet = itertools.cycle(("LF", "RF", "LH", "RH"))
    return EntryValues(
        animal=str(100 + animal % ANIMALS),
        findings=tuple(
            FindingValues(
                foot=next(feet), claw="outer", zone=4, lesion=LESIONS[(animal + at) % len(LESIONS)]
            )
            for at in range(findings)
        ),
        actions=(ActionValues(kind="block", foot="LH", claw="inner", material="rubber"),),
        follow_ups=(FollowUpValues(kind="look again", in_days=14, date=TODAY),),
        marks=("foot-missing",) if marked else (),
    ).model_dump(mode="json")


def visits() -> Rows:
    """Past visits, and at the end the one that waits."""
    count = NOTES // NOTES_A_VISIT
    for at in range(count + 1):
        back = dt.timedelta(days=0 if at == count else 1 + (count - at) // 3)
        yield {"id": at + 1, "farm_id": at % FARMS + 1, "trimmer_id": 1, "date": TODAY - back}


def notes() -> Rows:
    for at in range(NOTES + NOTES_A_VISIT):
        state = "confirmed" if at < NOTES else "waiting"
        yield {
            "id": at + 1, "clip_id": at + 1, "visit_id": at // NOTES_A_VISIT + 1, "state": state,
            "engine": "given 1", "model": "none", "words": WORDS, "alternatives": [],
            "has_speech": True, "seconds_taken": 0.1, "heard_at": NOW,
        }  # fmt: skip


def clips() -> Rows:
    for at in range(NOTES + NOTES_A_VISIT):
        yield {
            "id": at + 1, "sha256": f"{at:064x}", "visit_id": at // NOTES_A_VISIT + 1,
            "file_name": f"note {at}.wav", "suffix": ".wav", "seconds": 4.0, "source_rate": 16_000,
            "channels": 1, "recorded_from": "given", "taken_in_at": NOW,
            "recorded_at": NOW + dt.timedelta(minutes=at % NOTES_A_VISIT),
        }  # fmt: skip


def readings() -> Rows:
    read = {
        "words": [word["text"] for word in WORDS],
        "entries": [],
        "commands": [],
        "leftover": [],
    }
    for at in range(NOTES + NOTES_A_VISIT):
        yield {
            "id": at + 1, "note_id": at + 1, "origin": "heard", "who": "dictate", "lexicon": "1",
            "content": read, "entries": [], "read_at": NOW,
        }  # fmt: skip


def animal_of(entry: int) -> int:
    """Id of the animal of an entry, counted from 0: one of the farm of its visit."""
    farm = (entry // (ENTRIES_A_NOTE * NOTES_A_VISIT)) % FARMS
    return farm * ANIMALS + entry % ANIMALS + 1


def entries(each: int) -> Rows:
    for at in range((NOTES + NOTES_A_VISIT) * ENTRIES_A_NOTE):
        done = at < NOTES * ENTRIES_A_NOTE
        yield {
            "id": at + 1, "note_id": at // ENTRIES_A_NOTE + 1,
            "visit_id": at // (ENTRIES_A_NOTE * NOTES_A_VISIT) + 1, "position": at % ENTRIES_A_NOTE,
            "state": "confirmed" if done else "waiting", "version": 1, "touched": done,
            "content": content(at % ANIMALS, each, marked=not done and at % 4 == 0),
            "animal_id": animal_of(at) if done else None, "confirmed_how": "one" if done else None,
            "confirmed_by": "Robin Field" if done else None, "confirmed_at": NOW if done else None,
        }  # fmt: skip


def recorded(at: int) -> dict[str, object]:
    """What every row of the record of an entry shares."""
    visit = at // (ENTRIES_A_NOTE * NOTES_A_VISIT)
    return {
        "entry_id": at + 1, "animal_id": animal_of(at), "visit_id": visit + 1,
        "farm_id": visit % FARMS + 1,
        "date": TODAY - dt.timedelta(days=1 + (NOTES // NOTES_A_VISIT - visit) // 3),
    }  # fmt: skip


def findings(each: int) -> Rows:
    for at in range(NOTES * ENTRIES_A_NOTE):
        for place in range(each):
            yield recorded(at) | {
                "position": place, "foot": "LH", "claw": "outer", "zone": 4,
                "lesion": LESIONS[(at + place) % len(LESIONS)], "heard": "", "tissue": [],
            }  # fmt: skip


def follow_ups() -> Rows:
    """One for each entry; the older ones are done."""
    for at in range(NOTES * ENTRIES_A_NOTE):
        shared = recorded(at)
        due = shared["date"] + dt.timedelta(days=14)  # type: ignore[operator]
        done = due if due < TODAY - dt.timedelta(days=30) else None
        yield shared | {
            "position": 0, "kind": "look again", "due_on": due, "in_days": 14, "said_when": "",
            "done_on": done, "done_by": "Robin Field" if done else None,
        }  # fmt: skip


def events() -> Rows:
    for at in range(NOTES * ENTRIES_A_NOTE):
        yield {
            "at": NOW - dt.timedelta(seconds=5 * at), "who": "Robin Field", "kind": "confirmed",
            "subject": "entry", "subject_id": at + 1, "act": f"{at:032x}",
            "before": {"state": "waiting"}, "after": {"state": "confirmed"},
        }  # fmt: skip


def fill(database: Database, total: int) -> None:
    """Write the invented record, a table at a time."""
    each = total // (NOTES * ENTRIES_A_NOTE)
    farms = ({"id": at + 1, "name": f"Farm {at + 1:03}"} for at in range(FARMS))
    animals = (
        {
            "id": at + 1, "farm_id": at // ANIMALS + 1, "number": str(100 + at % ANIMALS),
            "status": "present", "on_roster": True,
        }
        for at in range(FARMS * ANIMALS)
    )  # fmt: skip
    tables = (
        (Farm, farms), (Trimmer, iter([{"id": 1, "name": "Robin Field"}])), (Animal, animals),
        (Visit, visits()), (Clip, clips()), (Note, notes()), (Reading, readings()),
        (Entry, entries(each)), (Finding, findings(each)), (FollowUp, follow_ups()), (Event, events()),
    )  # fmt: skip
    for table, rows in tables:
        for batch in (
            itertools.batched(rows, 20_000) if sys.version_info >= (3, 12) else _batched(rows)
        ):
            with database.writing() as session:
                session.execute(sa.insert(table.__table__), list(batch))  # type: ignore[attr-defined]


def _batched(rows: Rows) -> Iterator[list[dict[str, object]]]:
    while batch := list(itertools.islice(rows, 20_000)):
        yield batch


def serve(home: Path, port: "multiprocessing.Queue[int]") -> None:
    """Serve the page from this process."""
    import uvicorn

    from dictate.web.app import create_app
    from dictate.web.desk import Desk
    from dictate.web.gate import Gate
    from dictate.web.serve import listen, warm_up

    settings = Settings(home=home, trimmer="Robin Field", farm="Farm 001")
    gate = Gate(settings.trimmer, clock=time.monotonic)
    gate.link_token = TOKEN
    database = open_database(settings.database_url)
    desk = Desk(
        database=database, settings=settings, gate=gate, open_engine=_deaf, today=lambda: TODAY
    )
    config = uvicorn.Config(create_app(desk), log_level="warning", access_log=False)
    warm_up()
    listener = listen("127.0.0.1", 0)
    port.put(listener.getsockname()[1])
    uvicorn.Server(config).run(sockets=[listener])


def _deaf(_roster: object) -> object:
    raise RuntimeError("nothing is heard here")


def pages(chance: random.Random) -> dict[str, Callable[[], str]]:
    """Each page's address, drawn anew for every round."""
    waiting = NOTES * ENTRIES_A_NOTE
    visit = NOTES // NOTES_A_VISIT + 1
    past = range(1, visit)
    return {
        "visits": lambda: "/",
        "older visits": lambda: f"/?turn={chance.randint(2, 40)}",
        "queue (100 entries wait)": lambda: (
            f"/visits/{visit}/queue?entry={waiting + chance.randint(1, 100)}"
        ),
        "list without marks": lambda: f"/visits/{visit}/unmarked",
        "another number": lambda: f"/entries/{waiting + chance.randint(1, 100)}/number",
        "words put right": lambda: f"/entries/{waiting + chance.randint(1, 100)}/words",
        "fix": lambda: f"/entries/{waiting + chance.randint(1, 100)}/fix",
        "entry": lambda: f"/entries/{chance.randint(1, waiting)}",
        "visit (100 entries)": lambda: f"/visits/{chance.choice(past)}",
        "animals": lambda: f"/animals?farm={chance.randint(1, FARMS)}",
        "find an animal": lambda: (
            f"/animals?farm={chance.randint(1, FARMS)}&find=1{chance.randint(0, 9)}"
        ),
        "animal": lambda: f"/animals/{chance.randint(1, FARMS * ANIMALS)}",
        "words while typing": lambda: (
            f"/entries/{waiting + chance.randint(1, 100)}/words/offered?typed=w"
        ),
        "number while typing": lambda: f"/farms/{chance.randint(1, FARMS)}/numbers?animal=1",
        "follow-ups": lambda: f"/follow-ups?farm={chance.randint(1, FARMS)}&span=month",
        "everything due": lambda: "/follow-ups?span=all",
        "herd": lambda: f"/herd?farm={chance.randint(1, FARMS)}",
        "sheets and bill": lambda: "/bill",
        "bill": lambda: f"/bill/{chance.choice(past)}",
        "farms": lambda: "/farms",
        "farm": lambda: f"/farms/{chance.randint(1, FARMS)}",
        "learnt": lambda: "/learnt",
        "roster": lambda: "/roster",
        "record": lambda: "/record",
        "settings": lambda: "/settings",
        "glossary": lambda: "/glossary",
        "visit sheet (100 animals)": lambda: f"/visits/{chance.choice(past)}/sheet",
    }


def processor_ms(process: int) -> float:
    """Processor time that a process took so far; 0 where it cannot be told."""
    stat = Path(f"/proc/{process}/stat")
    if not stat.exists():
        return 0.0
    ticks = stat.read_text().rpartition(")")[2].split()[11:13]
    return sum(map(int, ticks)) * 1000 / os.sysconf("SC_CLK_TCK")


def measure(port: int, rounds: int, server: int) -> dict[str, tuple[list[float], float]]:
    """Milliseconds of every page and round, and the mean processor time of a page."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
    for _ in range(100):
        try:
            line.connect()
            break
        except ConnectionRefusedError:
            time.sleep(0.1)
    line.request("GET", f"/enter?token={TOKEN}")
    answer = line.getresponse()
    answer.read()
    headers = {"Cookie": answer.headers["Set-Cookie"].split(";")[0]}
    taken: dict[str, tuple[list[float], float]] = {}
    for name, address in pages(random.Random(7)).items():
        times: list[float] = []
        before = processor_ms(server)
        for turn in range(rounds + 1):
            began = time.perf_counter()
            line.request("GET", address(), headers=headers)
            answer = line.getresponse()
            answer.read()
            if answer.status != 200:
                raise SystemExit(f"{name}: status {answer.status}")
            if turn:  # the first one warms up
                times.append((time.perf_counter() - began) * 1000)
        taken[name] = (times, (processor_ms(server) - before) / (rounds + 1))
    return taken


def report(taken: dict[str, tuple[list[float], float]]) -> bool:
    """Print the table that docs/explanation/page-speed.md holds; true if every page keeps to the limit."""
    print("| page | median | 95th percentile | longest | processor |\n|---|---|---|---|---|")
    slow = []
    for name, (times, processor) in taken.items():
        p95 = statistics.quantiles(times, n=20)[-1]
        slow += [name] if p95 >= LIMIT_MS else []
        cells = (statistics.median(times), p95, max(times), processor)
        print(f"| {name} | {' | '.join(f'{cell:.0f}' for cell in cells)} |")
    print(f"\n{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, {dt.date.today()}")
    print(f"At or over {LIMIT_MS} ms at the 95th percentile: {', '.join(slow) or 'no page'}")
    return not slow


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--findings", type=int, default=1_000_000)
    parser.add_argument("--rounds", type=int, default=60)
    parser.add_argument(
        "--keep", type=Path, help="folder for the record; used again if it is there"
    )
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        home = asked.keep or Path(folder)
        fresh = not (home / "record.db").exists()
        with open_database(Settings(home=home).database_url) as database:
            if fresh:
                fill(database, asked.findings)
        size = (home / "record.db").stat().st_size / 2**20
        print(f"{asked.findings:,} findings, {NOTES:,} notes, database {size:,.0f} MiB\n")
        told: multiprocessing.Queue[int] = multiprocessing.Queue()
        server = multiprocessing.Process(target=serve, args=(home, told), daemon=True)
        server.start()
        try:
            kept = report(measure(told.get(timeout=60), asked.rounds, server.pid or 0))
        finally:
            server.terminate()
    sys.exit(0 if kept else 1)


if __name__ == "__main__":
    main()
