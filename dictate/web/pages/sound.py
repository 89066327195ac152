"""The sound of a clip, to listen to."""

import mimetypes

from fastapi import APIRouter
from fastapi.responses import FileResponse

from dictate.errors import NotFoundError
from dictate.store.clips import clip_at, forgotten_on, kept_path
from dictate.web.desk import TheDesk
from dictate.web.guard import Who

router = APIRouter()
_KINDS = {".flac": "audio/flac", ".wav": "audio/wav", ".opus": "audio/ogg", ".m4a": "audio/mp4"}


@router.get("/clips/{clip_id}/sound")
def sound(desk: TheDesk, _person: Who, clip_id: int) -> FileResponse:
    """The kept file, in parts if the browser asks for parts."""
    with desk.database.reading() as session:
        clip = clip_at(session, clip_id)
        forgotten = forgotten_on(session, clip_id)
    folder = desk.settings.sounds.resolve()
    path = kept_path(desk.settings, clip).resolve()
    if not path.is_relative_to(folder) or not path.is_file():
        gone = f"was forgotten on {forgotten}" if forgotten else "is not kept any more"
        raise NotFoundError(f"the sound of this note {gone}", where=clip.file_name)
    kind = _KINDS.get(clip.suffix) or mimetypes.guess_type(f"x{clip.suffix}")[0] or ""
    safe = kind if kind.startswith(("audio/", "video/")) else "application/octet-stream"
    return FileResponse(path, media_type=safe, headers={"Cache-Control": "private, max-age=3600"})
