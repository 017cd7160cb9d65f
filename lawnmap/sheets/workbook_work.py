"""Pages of the workbook for the work: areas, rates, materials to buy, and the time of labour."""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose
from typing import TYPE_CHECKING, Final

from lawnmap.sheets.workbook_page import Page, total
from lawnmap.units import convert

if TYPE_CHECKING:
    from lawnmap.job import Line, Material, Plan, Quote, ZoneAmount, ZoneArea


_BLUE: Final = (
    "Blue figures may be changed; the rest follows. Areas are for planning work and are no land survey."
)


@dataclass(frozen=True)
class ZoneCells:
    """Where the areas of a zone stand.

    Attributes
    ----------
    surface, unfed : str
        Addresses of the area along its slope, and of the part along water.
    """

    surface: str
    unfed: str


def write_areas(page: Page, plan: Plan) -> dict[str, ZoneCells]:
    """Fill the page of areas, and return where those of each zone stand.

    Parameters
    ----------
    page : Page
        An empty page.
    plan : Plan
        A finished plan.
    """
    unit = plan.units.area_unit
    page.widths(26, 10, 16, 16, 14, 12, 16, 16)
    page.line("Areas", "title")
    page.line(
        "Blue figures may be changed; the rest follows. Areas are for planning work and are no land survey."
    )
    page.row += 1
    page.heads(
        ("Zone", "Stand", f"Outline [{unit}]", f"Net area [{unit}]", f"± [{unit}]", "Slope factor",
         f"Along the slope [{unit}]", f"Along water [{unit}]")
    )  # fmt: skip
    page.freeze()
    cells, nets = {}, []
    for zone in plan.takeoff.zones:
        page.text("A", zone.name)
        page.text("B", zone.density)
        page.number("C", convert(zone.gross_area_m2, unit), "area")
        nets.append(page.number("D", convert(zone.net_area_m2, unit), "in area"))
        page.number("E", convert(zone.net_area_se_m2, unit), "area")
        factor = page.number("F", _factor(zone), "in rate")
        surface = page.formula("G", f"{nets[-1]}*{factor}", convert(zone.surface_area_m2, unit), "area")
        cells[zone.name] = ZoneCells(surface, page.number("H", convert(zone.unfed_area_m2, unit), "in area"))
        page.row += 1
    page.text("A", "Net lawn", "bold")
    page.formula("D", total(nets), convert(plan.takeoff.net_area_m2, unit), "total area")
    page.number("E", convert(plan.takeoff.net_area_se_m2, unit), "total area")
    page.row += 1
    return cells


def _factor(zone: ZoneArea) -> float:
    return zone.surface_area_m2 / zone.net_area_m2 if zone.net_area_m2 else 1.0


def write_rates(page: Page, plan: Plan, zones: dict[str, ZoneCells]) -> dict[str, list[str]]:
    """Fill the page of rates, and return where the amounts of each material stand.

    Parameters
    ----------
    page : Page
        An empty page.
    plan : Plan
        A finished plan.
    zones : dict
        Where the areas of each zone stand.
    """
    units = plan.units
    page.widths(34, 24, 16, 18, 14, 60, 60)
    page.line("Rates", "title")
    page.row += 1
    rate_unit = units.rate_unit
    page.heads(
        ("Material", "Zone", f"Area [{units.area_unit}]", f"Rate [{rate_unit}]", f"Amount [{units.mass_unit}]",
         "How the rate comes about", "Source")
    )  # fmt: skip
    page.freeze()
    found: dict[str, list[str]] = {}
    per = convert(1.0, units.mass_unit) / convert(1.0, rate_unit) / convert(1.0, units.area_unit)
    for material in plan.prescription.materials:
        for amount in material.by_zone:
            page.text("A", material.name)
            page.text("B", amount.zone)
            area = _treated(page, amount, plan, zones)
            rate = page.number("D", convert(amount.rate_kg_per_m2, rate_unit), "in rate")
            mass = convert(amount.amount_kg, units.mass_unit)
            cell = page.formula("E", f"{area}*{rate}*{per:.12g}", mass, "amount")
            found.setdefault(material.name, []).append(cell)
            page.text("F", amount.reason)
            page.text("G", str(amount.source))
            page.row += 1
    return found


def _treated(page: Page, amount: ZoneAmount, plan: Plan, zones: dict[str, ZoneCells]) -> str:
    """Write the area that a zone gets a material on: that along the slope, with or without the strip along water."""
    zone = next(zone for zone in plan.takeoff.zones if zone.name == amount.zone)
    shown = convert(amount.area_m2, plan.units.area_unit)
    cells = zones[zone.name]
    if isclose(amount.area_m2, zone.surface_area_m2, rel_tol=1e-9):
        return page.formula("C", cells.surface, shown, "area")
    if isclose(amount.area_m2, zone.surface_area_m2 - zone.unfed_area_m2, rel_tol=1e-9, abs_tol=1e-9):
        return page.formula("C", f"{cells.surface}-{cells.unfed}", shown, "area")
    return page.number("C", shown, "in area")


def write_materials(page: Page, plan: Plan, quote: Quote, amounts: dict[str, list[str]]) -> dict[str, str]:
    """Fill the page of materials, and return where the quantity of each line of the quote stands.

    Of a material that is bought in several sizes the smallest makes up what the others leave; those are the plan's.

    Parameters
    ----------
    page : Page
        An empty page.
    plan : Plan
        A finished plan.
    quote : Quote
        With the lines.
    amounts : dict
        Where the amounts of each material stand.
    """
    unit = plan.units.mass_unit
    page.widths(44, 16, 12, 16, 16, 14)
    page.line("Materials", "title")
    page.row += 1
    page.heads(
        (
            "Material",
            f"Needed [{unit}]",
            "Allowance",
            f"With it [{unit}]",
            f"Pack or unit [{unit}]",
            "How many",
        )
    )
    page.freeze()
    found: dict[str, str] = {}
    for material in plan.prescription.materials:
        lines = [line for line in quote.lines if (line.kind, line.material) == ("material", material.name)]
        lines.sort(key=lambda line: -line.size_si)
        larger: list[str] = []
        for line in lines:
            need = _needed(page, plan, material, amounts[material.name])
            page.text("A", line.name)
            size = page.number("E", convert(line.size_si, unit), "in amount")
            is_last = line is lines[-1]
            found[line.name] = _count(page, line, (need, size), larger if is_last else None, material)
            larger.append(f"{size}*{page.at('F')}")
            page.row += 1
    return found


def _needed(page: Page, plan: Plan, material: Material, amounts: list[str]) -> tuple[str, str]:
    """Write what is needed, and with the allowance; return where both stand."""
    needed_kg = material.total_kg
    unit = plan.units.mass_unit
    bare = page.formula("B", total(amounts), convert(needed_kg, unit), "amount")
    share = page.number("C", material.allowance, "in share")
    value = convert(needed_kg * (1 + material.allowance), unit)
    return bare, page.formula("D", f"{bare}*(1+{share})", value, "amount")


def _count(
    page: Page, line: Line, cells: tuple[tuple[str, str], str], larger: list[str] | None, material: Material
) -> str:
    """Write how many packs or units: worked out for the smallest pack and for weights, else as planned."""
    (bare, whole), size = cells
    value = float(line.quantity)
    if line.unit != "pack":
        weighed = line.size_si * value
        used = bare if isclose(weighed, material.total_kg, abs_tol=0.006 * line.size_si) else whole
        bought = larger is not None and not isclose(weighed, material.total_kg * (1 + material.allowance),
                                                    abs_tol=0.006 * line.size_si) and used == whole  # fmt: skip
        if bought:  # packs at a price by weight
            return page.number("F", value, "in amount")
        return page.formula("F", f"ROUND({used}/{size},2)", value, "amount")
    if larger is None:
        return page.number("F", value, "in count")
    others = f"-({'+'.join(larger)})" if larger else ""
    return page.formula("F", f"ROUNDUP(MAX(0,{whole}{others})/{size}-0.000001,0)", value, "count")


def write_labour(page: Page, plan: Plan, quote: Quote) -> dict[str, str]:
    """Fill the page of labour, and return where the quantity of each line of the quote stands.

    Parameters
    ----------
    page : Page
        An empty page.
    plan : Plan
        A finished plan.
    quote : Quote
        With the lines.
    """
    unit = plan.units.length_unit
    page.widths(36, 14, 14, 16, 10, 12, 10, 12, 12, 12, 14, 10, 16, 16)
    page.line("Labour on the lanes", "title")
    page.row += 1
    page.heads(
        ("Material", f"Lanes [{unit}]", f"Ways [{unit}]", f"Speed [{unit}/min]", "Turns", "Each [s]", "Fills",
         "Each [s]", "Settings", "Each [s]", "Time [min]", "People", "Charged, labour", "Charged, machine")
    )  # fmt: skip
    page.freeze()
    labour = {line.material: line for line in quote.lines if line.kind == "labour" and line.material}
    machine = next(
        (line for line in quote.lines if line.kind == "machine" and line.size_si and not line.material), None
    )
    found: dict[str, str] = {}
    machined: list[str] = []
    for outing in plan.lanes.outings:
        spent, rig = outing.labour, outing.rig
        if not outing.product:
            continue
        page.text("A", outing.product)
        speed = rig.speed_m_per_s
        page.number("B", convert(spent.work_s * speed, unit), "in amount")
        page.number("C", convert(spent.way_s * speed, unit), "in amount")
        page.number("D", convert(speed * 60, unit), "in amount")
        for columns, time_s, each_s in (
            ("EF", spent.turn_s, rig.turn_s),
            ("GH", spent.refill_s, rig.refill_s),
            ("IJ", spent.change_s, rig.setting_change_s),
        ):
            page.number(columns[0], round(time_s / each_s) if each_s else 0, "in count")
            page.number(columns[1], each_s, "in count")
        row = page.row
        spelled = f"(B{row}+C{row})/D{row}+(E{row}*F{row}+G{row}*H{row}+I{row}*J{row})/60"
        minutes = page.formula("K", spelled, spent.total_s / 60, "amount")
        people = page.number("L", quote.crew, "in count")
        line = labour.get(outing.product)
        if line is not None:
            charged = f"ROUND({minutes}*{people}*60/{line.size_si:.12g},2)"
            found[line.name] = page.formula("M", charged, float(line.quantity), "amount")
        if machine is not None:
            counted = round(spent.total_s / machine.size_si + 1e-9, 2)
            charged = f"ROUND({minutes}*60/{machine.size_si:.12g},2)"
            machined.append(page.formula("N", charged, counted, "amount"))
        page.row += 1
    if machine is not None:
        page.text("A", "All", "bold")
        found[machine.name] = page.formula("N", total(machined), float(machine.quantity), "amount")
    return found
