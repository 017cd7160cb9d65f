"""Many yards in one go: which were planned, which were not and why, and what all of them need together."""

from lawnmap.batch.model import Options, Progress
from lawnmap.batch.run import Report, run
from lawnmap.batch.totals import Purchase, Totals

__all__ = ["Options", "Progress", "Purchase", "Report", "Totals", "run"]
