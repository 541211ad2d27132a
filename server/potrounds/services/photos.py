"""Photos come after the records that name them, and only from who made those records (R13)."""

from __future__ import annotations

import base64
import binascii
import logging
import re
from pathlib import Path

from potrounds.services import assess
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import derived, photos
from potrounds.store.database import Trouble, write_transaction
from potrounds.store.photos import Stream
from potrounds.store.pictures import NotAPhoto

logger = logging.getLogger(__name__)

MOST_BYTES = 2 * 1024 * 1024
LATER_S = 300
SHA256 = re.compile(r"[0-9a-f]{64}")
DIGEST = re.compile(r"(?:^|,)\s*sha-256=:([A-Za-z0-9+/=]+):\s*(?:,|$)")
STATUSES = {"photo-format": 415}
TITLES = {
    "photo-format": "Not a photo we take",
    "photo-size": "Photo of the wrong size",
    "photo-unreadable": "Damaged photo",
    "digest": "Altered on the way",
    "length": "Cut off on the way",
}


def put(ctx: Context, sha: str, stream: Stream, length: int | None, digest: str | None) -> int:
    """Take in a photo; 201 when it is new, 200 when it was here.

    Raises: Refusal for a bad hash, length, digest, format or size, for a photo that no record of
    the caller names, and when the disk is full. No file is left behind then.
    """
    checked_hash(sha)
    size = _checked_length(length)
    if ctx.person is None or not photos.is_named_by(sha, ctx.person):
        raise Refusal(
            409, "record-first", "Record first", "Send the record that names this photo first."
        )
    there = photos.find(sha)
    if there is not None and there.state == "erased":
        raise _removed()
    if there is not None:
        return 200
    _check_digest(sha, digest)
    try:
        touched = _keep(ctx, sha, stream, size)
    except NotAPhoto as refused:
        status = STATUSES.get(refused.slug, 422)
        raise Refusal(status, refused.slug, TITLES[refused.slug], refused.detail) from refused
    except (OSError, Trouble) as trouble:
        logger.exception("a photo could not be written")
        raise Refusal(
            507,
            "disk-full",
            "The server cannot keep the photo now",
            "The record is safe. The photo stays on the phone and is sent again later.",
            retry_after=LATER_S,
        ) from trouble
    assess.assess_quietly(ctx, touched)
    return 201


def _keep(ctx: Context, sha: str, stream: Stream, length: int) -> list[str]:
    """The files, then the row; returns the planters whose cards show the photo."""
    size, size_bytes = photos.take_in(ctx.settings.photo_folder, sha, stream, length)
    with write_transaction():
        photos.add(sha, size, size_bytes, ctx.person, ctx.now())
        touched = photos.planters_of(sha)
        derived.mark_stale(touched)
        kept = photos.find(sha)
    if kept is not None and kept.state == "erased":  # while its bytes came in
        photos.remove_files(ctx.settings.photo_folder, sha)
        raise _removed()
    return touched


def _removed() -> Refusal:
    return Refusal(410, "photo-removed", "Removed", "This photo was removed at someone's request.")


def author_of(sha: str) -> str | None:
    """A person whose record names this photo."""
    return photos.author_of(sha)


def get(ctx: Context, sha: str, size: str = "full") -> Path:
    """The file of a photo. Raises: Refusal 404 when it is not here."""
    if size not in photos.SIZES:
        raise Refusal(400, "bad-size", "No such size", "size is small or full.")
    there = photos.find(checked_hash(sha))
    path = photos.path_of(ctx.settings.photo_folder, sha, size)
    if there is None or there.state != "here" or not path.is_file():
        raise Refusal(404, "no-photo", "No such photo", "It has not arrived, or was removed.")
    return path


def checked_hash(sha: str) -> str:
    """A photo's name, as it is. Raises: Refusal 400 for anything else."""
    if not SHA256.fullmatch(sha):
        raise Refusal(
            400,
            "bad-hash",
            "Not a hash",
            "A photo's address is its SHA-256: 64 hexadecimal digits in lower case.",
        )
    return sha


def _checked_length(length: int | None) -> int:
    if length is None:
        raise Refusal(411, "length-required", "Length missing", "Send Content-Length.")
    if length > MOST_BYTES:
        raise Refusal(413, "too-big", "Photo too big", "A photo may have 2 MB. Send it smaller.")
    if length <= 0:
        raise Refusal(422, "empty", "Empty photo", "There are no bytes in this photo.")
    return length


def _check_digest(sha: str, header: str | None) -> None:
    """Content-Digest (RFC 9530), where it is sent, has to agree with the address."""
    if header is None:
        return
    found = DIGEST.search(header)
    try:
        agrees = found is not None and base64.b64decode(found[1], validate=True).hex() == sha
    except binascii.Error:
        agrees = False
    if not agrees:
        raise Refusal(
            422,
            "digest",
            "Altered on the way",
            "Content-Digest and the address name different bytes.",
        )
