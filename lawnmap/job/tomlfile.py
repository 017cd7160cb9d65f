"""The text of a job file, read as TOML or refused in one sentence."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Final

from lawnmap.errors import FileError

if TYPE_CHECKING:
    from pathlib import Path

_LARGEST_BYTES: Final = 1_000_000


def load_toml(path: Path) -> dict[str, object]:
    """Read the values of a job file as they stand.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        Without a file, or with one that is not TOML.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise FileError(
                "is too large to be a job file", where=str(path), mend="give the job file, not the yard"
            )
        return tomllib.loads(path.read_text("utf-8-sig"))
    except FileNotFoundError:
        raise FileError(
            "there is no such job file", where=str(path), mend='make one with "lawnmap new"'
        ) from None
    except OSError as fault:
        reason = (fault.strerror or "it cannot be opened").lower()
        raise FileError(f"cannot be read ({reason})", where=str(path), mend="check its rights") from None
    except UnicodeDecodeError:
        raise FileError("is not UTF-8 text", where=str(path), mend="save it as UTF-8") from None
    except tomllib.TOMLDecodeError as fault:
        raise FileError(f"is not valid TOML: {fault}", where=str(path), mend="mend that line") from None
    except RecursionError:
        raise FileError("is nested too deeply", where=str(path), mend="write it flat") from None
