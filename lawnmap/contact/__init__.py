"""How seed is brought into the soil: ways, their material, time and cost, and which suits each zone."""

from lawnmap.contact.choices import Contact, Hand, Laying, Machine
from lawnmap.contact.compare import compare
from lawnmap.contact.model import Comparison, Way, WayZone, ZoneAdvice

__all__ = ["Comparison", "Contact", "Hand", "Laying", "Machine", "Way", "WayZone", "ZoneAdvice", "compare"]
