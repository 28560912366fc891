"""Photographs: made anew from their pixels, kept beside the case with time and hash."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from advisor.ask.answers.parts import changed
from advisor.case import Case
from advisor.case.model import Photo
from advisor.errors import AdvisorError
from advisor.page.entry import Guest
from advisor.page.house import House, known, sent, to
from advisor.page.open_cases import NoSuchCase
from advisor.papers.photo_evidence import kept_beside, photo_folder
from advisor.wording.text import one_line

KINDS = ("JPEG", "PNG", "WEBP")
MOST_PIXELS = 40_000_000
MOST_SIDE = 2048
MOST_PHOTOS = 60
_REFUSED = "This is no picture that can be kept: send a JPEG, PNG or WebP of ordinary size."


def routes(house: House) -> list[Route]:
    return [
        Route("/d/{mark}/photo", known(house, album)),
        Route("/d/{mark}/photo", sent(house, keep), methods=["POST"]),
        Route("/d/{mark}/photo/{number:int}", known(house, picture)),
    ]


def folder_of(house: House, mark: str) -> Path:
    return photo_folder(house.desk.path(mark))


def kept_pictures(house: House, mark: str) -> list[Path]:
    """Files of the pictures that this page has kept with a case."""
    paths = kept_beside(house.desk.case(mark), house.desk.path(mark))
    return [path for path in paths if _is_ours(path)]


def _is_ours(path: Path) -> bool:
    return path.suffix == ".jpg" and path.is_file() and not path.is_symlink()


def album(house: House, request: Request, guest: Guest) -> Response:
    mark = request.path_params["mark"]
    case = house.desk.case(mark)
    return house.page(request, "photos.html.j2", mark=mark, case=case, said="")


def keep(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = request.path_params["mark"]
    desk = house.desk
    sent_file = form.get("picture")
    if not isinstance(sent_file, UploadFile):
        raise AdvisorError("No picture was sent.")
    raw = made_anew(sent_file.file.read())
    digest = hashlib.sha256(raw).hexdigest()
    now = desk.clock().replace(microsecond=0)
    name = f"{now:%Y%m%d-%H%M%S}-{digest[:8]}.jpg"
    folder = folder_of(house, mark)
    note = one_line(str(form.get("note", "")))[:200].strip()

    def with_photo(case: Case) -> Case:
        if any(photo.sha256 == digest for photo in case.photo):
            return case  # the same picture, sent again
        if len(case.photo) >= MOST_PHOTOS:
            raise AdvisorError(f"There are {MOST_PHOTOS} pictures already; no more are kept.")
        folder.mkdir(exist_ok=True)
        (folder / name).write_bytes(raw)
        photo = Photo(
            file=f"{folder.name}/{name}", taken=now.isoformat(), sha256=digest,
            note=f"{note} ({guest.name})" if note else guest.name,
        )  # fmt: skip
        return changed(case, photo=(*case.photo, photo))

    desk.change(mark, with_photo)
    return to(f"/d/{mark}/photo")


def made_anew(raw: bytes) -> bytes:
    """The picture's pixels as a fresh JPEG: nothing else of what was sent is kept, no place either.

    Raises AdvisorError for what is no picture, or too large a one.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(raw), formats=KINDS) as image:
            if image.width * image.height > MOST_PIXELS or getattr(image, "n_frames", 1) > 1:
                raise AdvisorError(_REFUSED)
            turned = ImageOps.exif_transpose(image).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError) as error:
        raise AdvisorError(_REFUSED) from error
    except Image.DecompressionBombError as error:
        raise AdvisorError(_REFUSED) from error
    turned.thumbnail((MOST_SIDE, MOST_SIDE))
    plain = Image.new("RGB", turned.size)
    plain.paste(turned)
    out = io.BytesIO()
    plain.save(out, "JPEG", quality=88)
    return out.getvalue()


def picture(house: House, request: Request, guest: Guest) -> Response:
    """One picture, by its place in the case; only files that this page wrote are given out."""
    mark, number = request.path_params["mark"], request.path_params["number"]
    photos = house.desk.case(mark).photo
    if not 1 <= number <= len(photos):
        raise NoSuchCase("There is no such picture.")
    folder = folder_of(house, mark)
    path = folder / Path(photos[number - 1].file).name
    if not _is_ours(path):
        raise NoSuchCase("This picture is not at hand here.")
    return FileResponse(path, media_type="image/jpeg")
