"""Where do photos and papers lie? In the media store under the SHA-256 of their bytes, written before any row."""

import hashlib

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage


class LostFile(Exception):
    """The store holds no such bytes, or others than the digest says."""


def _name(digest: str) -> str:
    return f"{digest[:2]}/{digest}"


def keep(data: bytes) -> str:
    """Store the bytes and give their SHA-256 as hex. The same bytes are stored once; damaged ones are mended."""
    digest = hashlib.sha256(data).hexdigest()
    try:
        fetch(digest)
    except LostFile:
        default_storage.save(_name(digest), ContentFile(data))
    return digest


def fetch(digest: str) -> bytes:
    """The bytes of that digest. LostFile if they are gone or were changed."""
    try:
        with default_storage.open(_name(digest)) as file:
            data: bytes = file.read()
    except FileNotFoundError as error:
        raise LostFile(digest) from error
    if hashlib.sha256(data).hexdigest() != digest:
        raise LostFile(digest)
    return data


def forget(digest: str) -> None:
    """Delete the bytes of that digest, where no row names it any more; nothing to do where there are none."""
    default_storage.delete(_name(digest))
