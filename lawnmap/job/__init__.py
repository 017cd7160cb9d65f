"""The order of the work for one yard."""

from lawnmap.job.model import VERSION, Plan

__all__ = ["VERSION", "Plan"]
