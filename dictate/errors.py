"""Every error the program raises on purpose.

DictateError
├── SettingsError      a settings file that cannot be used
├── SoundError         a sound file that cannot be read as speech
├── ModelError         a recogniser model that is missing, altered or unsuitable
├── StoreError         a database that cannot be opened, written or migrated
├── NotFoundError      a note, entry, animal or visit that is not there
├── ConflictError      somebody else changed the same thing first
├── ReviewError        a decision in the queue that cannot be carried out
├── RosterError        a roster file that cannot be taken in
└── VoiceError         a voice that cannot be learnt or used

Speech that cannot be understood is never an error: it is a note for review.
"""


class DictateError(Exception):
    """What went wrong, where, and what to do about it."""

    exit_code = 1

    def __init__(self, what: str, *, where: str = "", remedy: str = "") -> None:
        self.what = what
        self.where = where
        self.remedy = remedy
        super().__init__(self.line)

    @property
    def line(self) -> str:
        """One line for a person: `where: what. remedy.`"""
        start = f"{self.where}: {self.what}" if self.where else self.what
        return f"{start}. {self.remedy}" if self.remedy else start


class SettingsError(DictateError):
    exit_code = 2


class SoundError(DictateError):
    exit_code = 3


class ModelError(DictateError):
    exit_code = 4


class StoreError(DictateError):
    exit_code = 5


class NotFoundError(DictateError):
    exit_code = 6


class ConflictError(DictateError):
    exit_code = 7


class RosterError(DictateError):
    exit_code = 8


class ReviewError(DictateError):
    exit_code = 9


class VoiceError(DictateError):
    exit_code = 10
