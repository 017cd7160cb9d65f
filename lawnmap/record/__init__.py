"""What was really put down, where and when, and what follows from it."""

from lawnmap.record.entry import Entry, Quantity, read_quantity
from lawnmap.record.follow import Follow
from lawnmap.record.item import Item, Planned, Share, items_of
from lawnmap.record.logfile import LOG_FILE, Line, Log, append_entry, read_log
from lawnmap.record.model import Done, Dose, MaterialReal, Stand, Tally, ZoneReal
from lawnmap.record.starting import stock_of, with_applied, with_stand
from lawnmap.record.tally import tally

__all__ = [
    "LOG_FILE",
    "Done",
    "Dose",
    "Entry",
    "Follow",
    "Item",
    "Line",
    "Log",
    "MaterialReal",
    "Planned",
    "Quantity",
    "Share",
    "Stand",
    "Tally",
    "ZoneReal",
    "append_entry",
    "items_of",
    "read_log",
    "read_quantity",
    "stock_of",
    "tally",
    "with_applied",
    "with_stand",
]
