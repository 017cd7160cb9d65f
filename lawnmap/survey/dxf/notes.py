"""What our own drawings carry beside their lines: attributes of each entity, and the plane of the sheet."""

from __future__ import annotations

import json
from typing import Any, Final

import numpy as np

from lawnmap.yard import Plane

APPLICATION: Final = "LAWNMAP"
"""Name that the extended data of an entity is registered under."""

_PLANE: Final = "lawnmap plane"
_CHUNK: Final = 200  # characters; a string of extended data holds 255 bytes (DXF reference, group code 1000)


def write_note(entity: Any, said: dict[str, object]) -> None:
    """Put attributes on an entity.

    Parameters
    ----------
    entity : ezdxf entity
        The entity.
    said : dict
        Attributes by name, as the exchange format has them.
    """
    text = json.dumps(said)  # in ASCII, so that characters are bytes
    entity.set_xdata(APPLICATION, [(1000, text[i : i + _CHUNK]) for i in range(0, len(text), _CHUNK)])


def read_note(entity: Any) -> dict[str, object] | None:
    """Return the attributes that `write_note` put on an entity, if it has any."""
    if not entity.has_xdata(APPLICATION):
        return None
    try:
        said = json.loads(
            "".join(str(value) for code, value in entity.get_xdata(APPLICATION) if code == 1000)
        )
    except (ValueError, RecursionError):
        return None
    return said if isinstance(said, dict) else None


def write_plane(document: Any, plane: Plane) -> None:
    """Say in the head of a drawing where on the earth its metres lie.

    Parameters
    ----------
    document : ezdxf.document.Drawing
        The drawing.
    plane : Plane
        The yard's plane; a local one is not written.
    """
    if plane.georeferenced:
        place = [plane.datum, plane.longitude_deg, plane.latitude_deg]
        document.header.custom_vars.append(_PLANE, json.dumps(place))


def read_plane(document: Any) -> Plane | None:
    """Return the plane that `write_plane` stated, if there is one."""
    text = document.header.custom_vars.get(_PLANE)
    if text is None:
        return None
    try:
        datum, longitude_deg, latitude_deg = json.loads(text)
        plane = Plane("lawnmap site plane", str(datum), float(longitude_deg), float(latitude_deg))
        plane.to_datum(np.zeros((1, 2)))  # a place that is not on the earth fails here
    except (ValueError, TypeError, RuntimeError, AssertionError):
        return None
    return plane
