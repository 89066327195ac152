"""From the end of speech to the spoken answer, with the demo clips played in real time.

    python tests/bench/live_answer.py [--clips 12]

Prints the seconds of each answer, and the median. The end of speech is the end of the found note;
the answer is the moment its first sound is handed to the player.
"""

import argparse
import statistics
import tempfile
import time
from pathlib import Path

from dictate.notes.listening import Answer, listen
from dictate.notes.live_notes import Understanding
from dictate.settings import Settings
from dictate.sound import RATE
from dictate.sound.live import Listener
from dictate.sound.microphone import FileMicrophone
from dictate.sound.say_back import EspeakVoice, SilentPlayer
from dictate.store.database import open_database

DEMO = Path(__file__).parents[2] / "demo_audio"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clips", type=int, default=12)
    clips = sorted(DEMO.glob("*.opus"))[: parser.parse_args().clips]
    seconds: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(home=Path(folder), trimmer="Bench")
        with open_database(settings.database_url) as database:
            understand = Understanding(database, settings, farm="Bench")
            understand.warm_up()
            listener = Listener(settings.home / "live")
            began = time.monotonic()

            def told(answer: Answer) -> None:
                spoken = began + answer.note.stretch.end / RATE
                seconds.append(time.monotonic() - spoken)
                print(
                    f"{seconds[-1]:.2f} s, {answer.seconds:.2f} of it understanding: {answer.line}",
                    flush=True,
                )

            chunks = FileMicrophone(clips).chunks()
            listen(
                chunks, listener, understand, player=SilentPlayer(), voice=EspeakVoice(),
                prepare=understand.prepare, on_answer=told,
            )  # fmt: skip
    print(f"median {statistics.median(seconds):.2f} s of {len(seconds)}")


if __name__ == "__main__":
    main()
