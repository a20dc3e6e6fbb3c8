"""Where does the shop's data live on disk? One private folder: database, media and keys."""

import os
from pathlib import Path
from secrets import token_urlsafe

from shop.env import WrongSetting


def made(folder: Path) -> Path:
    """The folder, made where it is missing, readable by nobody else; stops with a sentence if it cannot be."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise WrongSetting(
            f"The data folder {folder} cannot be made: {error.strerror}.\n"
            "Choose another with --data FOLDER, or set SHOP_DATA."
        ) from error
    if not os.access(folder, os.W_OK | os.X_OK):
        raise WrongSetting(
            f"The data folder {folder} cannot be written to.\n"
            "Mend its permissions, choose another with --data FOLDER, or set SHOP_DATA."
        )
    return folder


def secret_key(folder: Path) -> str:
    """The key that signs sessions: read from the folder, made there the first time for its owner's eyes only."""
    path = folder / "secret.key"
    try:
        kept = path.read_text(encoding="ascii").strip()
        if len(kept) < 50:
            raise WrongSetting(f"{path} is damaged: move it away, and a new one is made.")
        return kept
    except (FileNotFoundError, NotADirectoryError):
        made(folder)
    except (OSError, UnicodeDecodeError) as error:
        raise WrongSetting(f"{path} cannot be read: {error}") from error
    return _new_key(path)


def _new_key(path: Path) -> str:
    """Written aside and linked into place, so that two first starts at once agree on one whole key."""
    key = token_urlsafe(64)
    aside = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        with os.fdopen(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
            file.write(key + "\n")
            file.flush()
            os.fsync(file.fileno())
        try:
            os.link(aside, path)
        except FileExistsError:
            key = path.read_text(encoding="ascii").strip()
        finally:
            aside.unlink()
    except OSError as error:
        raise WrongSetting(f"{path} cannot be written: {error.strerror}.") from error
    return key
