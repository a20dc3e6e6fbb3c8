"""How is a file kept so that a pulled plug loses nothing? Written aside, synced, renamed, its folder synced."""

import os
import secrets
from pathlib import Path
from typing import Any

from django.core.files.storage import FileSystemStorage


def sync_folder(folder: Path) -> None:
    """Make a rename in that folder last through a power cut, where the system can."""
    if os.name == "nt":  # Windows cannot open a folder for syncing
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


class DurableStorage(FileSystemStorage):
    """Local files by fixed names: a name either holds all its bytes or is not there."""

    def _save(self, name: str, content: Any) -> str:
        target = Path(self.path(name))
        new_folders = [
            folder for folder in (target.parent, *target.parent.parents) if not folder.exists()
        ]
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        aside = target.with_name(f".{target.name}.{secrets.token_hex(6)}")
        handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            with os.fdopen(handle, "wb") as file:
                for chunk in content.chunks():
                    file.write(chunk)
                file.flush()
                os.fsync(file.fileno())
            aside.replace(target)
        finally:
            aside.unlink(missing_ok=True)
        sync_folder(target.parent)
        for folder in new_folders:
            sync_folder(folder.parent)
        return name

    def get_available_name(self, name: str, max_length: int | None = None) -> str:
        """Names are digests of what they hold, so the same name may only hold the same bytes."""
        return name
