"""The tabs above every page: one for each job, in the order of a day."""

from dataclasses import dataclass

from dictate.texts import noted


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """One job."""

    path: str
    name: str
    icon: str
    of: tuple[str, ...]
    """Beginnings of the addresses that belong to it; the longest of all tabs decides."""
    always: bool = False
    """Also on a phone; the others are under "More" there."""

    def holds(self, path: str) -> bool:
        """The address is one of this job's pages."""
        return any(path == one or path.startswith(f"{one.rstrip('/')}/") for one in self.of)


TABS = (
    Tab(path="/", name=noted("Today"), icon="house", of=("/visits", "/entries", "/record", "/first-steps", "/waiting"), always=True),
    Tab(path="/animals", name=noted("Animals"), icon="tag", of=("/animals",), always=True),
    Tab(path="/follow-ups", name=noted("Due"), icon="calendar-clock", of=("/follow-ups",), always=True),
    Tab(path="/herd", name=noted("Herd"), icon="chart-line", of=("/herd",), always=True),
    Tab(path="/bill", name=noted("Sheets and bill"), icon="receipt", of=("/bill",)),
    Tab(path="/farms", name=noted("Farms"), icon="warehouse", of=("/farms", "/roster", "/past")),
    Tab(path="/voice", name=noted("Your voice"), icon="audio-lines", of=("/voice", "/learnt")),
    Tab(path="/settings", name=noted("Settings"), icon="settings", of=("/settings",)),
)  # fmt: skip
