"""What may arrive with an inquiry? Files up to a size, so that one that is too large costs no disk and no text."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, SkipFile

from consult.photos import MOST_BYTES

MOST_AT_ONCE = 120 * 2**20  # bytes of all photos of one sending: six of a phone are about 40 MB


class Arriving(FileUploadHandler):
    """Stands before Django's own handlers: drops a file that grows too large, and keeps all the rest of the form.

    `too_large` are the names of what was dropped.
    """

    def __init__(self, request: Any = None) -> None:
        super().__init__(request)
        self.too_large: list[str] = []
        self._so_far = self._all = 0

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self._so_far = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        self._so_far += len(raw_data)
        self._all += len(raw_data)
        if self._so_far > MOST_BYTES or self._all > MOST_AT_ONCE:
            self._all -= self._so_far
            self.too_large.append((self.file_name or "a photo")[:120])
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> None:
        return None
