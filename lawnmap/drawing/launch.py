"""Open the page through a private file: an address on a command line is seen by every user of the machine."""

from __future__ import annotations

import os
import tempfile
import webbrowser
from html import escape
from pathlib import Path


def redirect_file(address: str) -> Path:
    """Write a page that only its owner can read and that goes on to an address.

    Parameters
    ----------
    address : str
        Where to go, with its token.

    Returns
    -------
    Path
        The file; whoever makes it deletes it.
    """
    number, name = tempfile.mkstemp(
        prefix="lawnmap-", suffix=".html"
    )  # mkstemp makes it readable by its owner only
    with os.fdopen(number, "w", encoding="utf-8") as stream:
        stream.write(
            '<!doctype html><meta charset="utf-8"><title>lawnmap</title><link rel="icon" href="data:,">'
            f'<meta http-equiv="refresh" content="0;url={escape(address)}">'
        )
    return Path(name)


def open_browser(page: Path) -> bool:
    """Open a page in the user's browser, and say whether there was one.

    Parameters
    ----------
    page : Path
        What `redirect_file` made.
    """
    try:
        return webbrowser.open(page.resolve().as_uri())
    except webbrowser.Error:
        return False
