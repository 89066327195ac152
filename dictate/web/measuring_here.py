"""Measuring recognisers on a folder of sound while the page goes on."""

import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from dictate.errors import DictateError


@dataclass(slots=True)
class MeasuringHere:
    """One measurement at a time; its figures stay until the next one."""

    folder: Path | None = None
    """What was measured last, or is being measured."""
    rows: list[dict[str, Any]] = field(default_factory=list)
    """One engine each, as `dictate.measuring.measure_report.as_plain` gives them."""
    fault: str = ""
    _thread: threading.Thread | None = None

    @property
    def busy(self) -> bool:
        return self._thread is not None and self._thread.is_alive()

    def start(self, folder: Path, engines: Sequence[str]) -> None:
        """Begin, unless one runs.

        Raises:
            SoundError: the folder has no table, or its files are not there.
        """
        from dictate.measuring.tables import read_table  # noqa: PLC0415 (slow to load)

        if self.busy:
            return
        utterances = read_table(folder)
        self.folder, self.rows, self.fault = folder, [], ""
        self._thread = threading.Thread(
            target=self._run, args=(utterances, engines), daemon=True, name="measuring"
        )
        self._thread.start()

    def _run(self, utterances: Sequence[Any], engines: Sequence[str]) -> None:
        from dictate.measuring.measure import measure  # noqa: PLC0415
        from dictate.measuring.measure_report import as_plain  # noqa: PLC0415

        try:
            self.rows = [as_plain(one) for one in measure(utterances, engines)]
        except DictateError as error:
            self.fault = error.line
