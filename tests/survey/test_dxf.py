"""DXF drawings made with ezdxf: areas against closed forms, Lot 17 against its published area."""

import io
import itertools
import math
import tempfile
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf import units as dxf_units
from ezdxf.math import ConstructionEllipse, rational_bspline_from_ellipse
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from lawnmap.errors import ChoiceError, FileError, InputError, LawnmapError, QuantityError
from lawnmap.survey import read
from lawnmap.survey.dxf.door import read_dxf
from lawnmap.survey.listing import list_layers
from lawnmap.survey.source import Source

STADIUM = [(0, 0, 0), (100, 0, 1), (100, 40, 0), (0, 40, 1)]
STADIUM_AREA = 4000 + 400 * math.pi  # 5256.637 in closed form

# Lot 17: Jerry Mahun, Open Access Surveying Library (jerrymahun.com), self-study COGO Intersections
# and Curves problem 2: four curves, published area 124,740 sq ft to the nearest 10. Vertices east,
# north and bulge follow from the published bearings, radii and angles, unrounded.
LOT_17 = [
    (500.0, 1000.0, 0.0),
    (633.7280686814713, 970.2375463591511, math.tan(math.radians(38.5) / 4)),
    (764.7029515093187, 985.6299964577715, -math.tan(math.radians(30) / 4)),
    (917.1656072676211, 1015.1353505130348, -math.tan(math.radians(75) / 4)),
    (944.5017718494964, 990.9101606320846, -math.tan(math.radians(15) / 4)),
    (950.7906149400801, 886.6787544241658, 0.0),
    (936.4318320639757, 683.7423114171011, 0.0),
    (514.4717210499841, 726.9031679241748, 0.0),
]


@pytest.fixture
def drawing(tmp_path):
    """A new drawing in metres and a way to read it back."""

    class Sketch:
        def __init__(self):
            self.document = ezdxf.new("R2010", setup=False, units=dxf_units.M)
            self.space = self.document.modelspace()

        def save(self, name="yard.dxf"):
            path = tmp_path / name
            self.document.saveas(path)
            return path

        def read(self, **choices):
            return read_dxf(self.save(), Source(**choices))

        def only(self, **choices):
            (feature,) = self.read(**choices).features
            return feature

    return Sketch()


def codes(sheet):
    return [found.code for found in sheet.findings]


def on(layer):
    return {"layer": layer}


def test_lot_17_agrees_with_its_published_area(drawing):
    drawing.document.units = dxf_units.FT
    drawing.space.add_lwpolyline(LOT_17, format="xyb", close=True, dxfattribs=on("V-PROP-LINE"))
    sheet = drawing.read()
    (lot,) = sheet.features
    assert round(lot.shape.area, -1) == 124_740
    assert lot.shape.area == pytest.approx(124_744.17, abs=0.005)
    # D, F and H as published, to 0.01 ft; a swap of north and east would show here.
    corners = np.array(lot.shape.exterior.coords)
    for north, east in [(985.63, 764.70), (990.91, 944.50), (683.74, 936.43)]:
        assert np.hypot(*(corners - [east, north]).T).min() < 0.01
    assert sheet.unit == "ft"
    assert codes(sheet) == ["layer-role-guessed"]


def test_lot_17_as_a_yard_on_its_plane(drawing):
    drawing.document.header["$INSUNITS"] = 21
    drawing.space.add_lwpolyline(LOT_17, format="xyb", close=True, dxfattribs=on("V-PROP-LINE"))
    yard = read(drawing.save())
    assert yard.plane.unit == "US survey ft"
    assert yard.zones[0].polygon.area == pytest.approx(124_744.17 * (1200 / 3937) ** 2, rel=1e-7)
    assert {"layer-role-guessed", "lot-as-lawn"} <= {found.code for found in yard.findings}


def test_a_mirrored_curve_is_another_area(drawing):
    """North and east swapped: 123,812 instead of 124,744 where the curves keep their sides."""
    swapped = [(north, east, bulge) for east, north, bulge in LOT_17]
    drawing.space.add_lwpolyline(swapped, format="xyb", close=True, dxfattribs=on("LAWN"))
    assert drawing.only().shape.area == pytest.approx(123_812, abs=1)


@pytest.mark.parametrize("release", ["R12", "R2000", "R2018"])
def test_stadium_in_every_release(tmp_path, release):
    document = ezdxf.new(release)
    document.modelspace().add_polyline2d(STADIUM, format="xyb", close=True, dxfattribs=on("LAWN"))
    document.saveas(tmp_path / "old.dxf")
    (lawn,) = read_dxf(tmp_path / "old.dxf", Source(local_units="ft")).features
    assert lawn.shape.area == pytest.approx(STADIUM_AREA, rel=1e-12)


def test_heights_are_dropped(drawing):
    drawing.space.add_polyline3d(
        [(0, 0, 5), (10, 0, 9), (10, 10, 7), (0, 10, 1)], close=True, dxfattribs=on("LAWN")
    )
    lawn = drawing.only()
    assert lawn.shape.area == pytest.approx(100)
    assert not lawn.shape.has_z


def test_a_ring_whose_last_vertex_is_its_first_is_closed(drawing):
    drawing.space.add_lwpolyline([(0, 0), (10, 0), (10, 10), (0, 0)], dxfattribs=on("LAWN"))
    lawn = drawing.only()
    assert lawn.shape.area == pytest.approx(50)
    assert len(lawn.shape.exterior.coords) == 4


def test_four_corners_that_never_close_are_refused(drawing):
    drawing.space.add_lwpolyline([(0, 0), (10, 0), (10, 10), (0, 10)], dxfattribs=on("LAWN"))
    with pytest.raises(FileError, match=r"no closed outline.*1 line bounds no closed outline.*LWPOLYLINE"):
        drawing.read()


def test_circle_and_ellipse(drawing):
    drawing.space.add_circle((50, 50), 15, dxfattribs=on("POOL"))
    drawing.space.add_ellipse((0, 0), (30, 40), 0.5, dxfattribs=on("LAWN"))
    pool, lawn = sorted(drawing.read().features, key=lambda f: f.shape.area)
    assert pool.shape.area == pytest.approx(math.pi * 15**2, rel=1e-13)
    assert pool.attributes == {"role": "obstacle", "kind": "pool"}
    assert lawn.shape.area == pytest.approx(math.pi * 50 * 25, rel=1e-13)


def test_half_an_ellipse_chained_to_its_chord(drawing):
    drawing.space.add_ellipse((0, 0), (30, 0), 0.5, 0, math.pi, dxfattribs=on("LAWN"))
    drawing.space.add_line((-30, 0), (30, 0), dxfattribs=on("LAWN"))
    assert drawing.only().shape.area == pytest.approx(math.pi * 30 * 15 / 2, rel=1e-12)


def test_spline_through_a_circle(drawing):
    """A rational B-spline is a circle exactly; chords ten times finer than the tolerance remain."""
    circle = rational_bspline_from_ellipse(ConstructionEllipse((0, 0), (50, 0), (0, 0, 1), 1.0))
    drawing.space.add_spline(dxfattribs=on("LAWN")).apply_construction_tool(circle)
    assert drawing.only().shape.area == pytest.approx(math.pi * 2500, rel=1e-5)


@pytest.mark.parametrize("order", [[0, 1, 2, 3], [2, 0, 3, 1]])
def test_loose_lines_and_arcs_are_chained(drawing, order):
    """The stadium as two lines and two arcs, in any order and direction."""
    parts = [
        lambda: drawing.space.add_line((0, 0), (100, 0), dxfattribs=on("LAWN")),
        lambda: drawing.space.add_arc((100, 20), 20, 270, 90, dxfattribs=on("LAWN")),
        lambda: drawing.space.add_line((0, 40), (100, 40), dxfattribs=on("LAWN")),
        lambda: drawing.space.add_arc((0, 20), 20, 90, 270, dxfattribs=on("LAWN")),
    ]
    for i in order:
        parts[i]()
    assert drawing.only().shape.area == pytest.approx(STADIUM_AREA, rel=1e-12)


def open_square(drawing, gap):
    drawing.space.add_lwpolyline([(0, gap), (0, 10), (10, 10), (10, 0)], dxfattribs=on("LAWN"))
    drawing.space.add_line((10, 0), (0, 0), dxfattribs=on("LAWN"))


def test_a_small_gap_is_closed_and_told(drawing):
    open_square(drawing, 0.005)
    sheet = drawing.read()
    assert sheet.features[0].shape.area == pytest.approx(100, abs=0.05)
    assert "gap-closed" in codes(sheet)
    assert "0.005 m" in next(found.text for found in sheet.findings if found.code == "gap-closed")


def test_a_wide_gap_is_not_closed_unless_asked(drawing):
    open_square(drawing, 0.05)
    with pytest.raises(FileError, match="no closed outline"):
        drawing.read()
    assert drawing.only(gap="10 cm").shape.area == pytest.approx(100, abs=0.5)


def test_lots_with_a_common_side_stay_two(drawing):
    for start, end in [
        ((0, 0), (20, 0)),
        ((20, 0), (20, 10)),
        ((20, 10), (10, 10)),
        ((10, 10), (0, 10)),
        ((0, 10), (0, 0)),
        ((10, 10), (20, 0)),
    ]:
        drawing.space.add_line(start, end, dxfattribs=on("LAWN"))
    drawing.space.add_line((10, 10), (20, 0), dxfattribs=on("LAWN"))  # drawn twice
    drawing.space.add_line((0, 0), (-5, -5), dxfattribs=on("LAWN"))  # a dead end
    sheet = drawing.read()
    assert sorted(f.shape.area for f in sheet.features) == pytest.approx([50, 150])
    assert "open-linework" in codes(sheet)


def test_hatch_with_a_hole(drawing):
    hatch = drawing.space.add_hatch(dxfattribs=on("TURF"))
    hatch.paths.add_polyline_path(STADIUM, is_closed=True, flags=1)
    hatch.paths.add_polyline_path([(50, 10), (60, 10), (60, 20), (50, 20)], is_closed=True, flags=16)
    lawn = drawing.only()
    assert lawn.shape.area == pytest.approx(STADIUM_AREA - 100, rel=1e-12)
    assert len(lawn.shape.interiors) == 1


def test_hatch_with_arc_edges_either_way_round(drawing):
    hatch = drawing.space.add_hatch(dxfattribs=on("TURF"))
    edges = hatch.paths.add_edge_path()
    edges.add_line((0, 0), (100, 0))
    edges.add_arc((100, 20), 20, 270, 90, ccw=True)
    edges.add_line((100, 40), (0, 40))
    edges.add_ellipse((0, 20), (0, 20), 1.0, 0, 180, ccw=True)
    assert drawing.only().shape.area == pytest.approx(STADIUM_AREA, rel=1e-9)


def block(drawing, name="SHAPE", layer="LAWN"):
    made = drawing.document.blocks.new(name, base_point=(5, 5))
    made.add_lwpolyline(STADIUM, format="xyb", close=True, dxfattribs=on(layer))
    return made


@pytest.mark.parametrize(
    ("scale", "turn"), [((1, 1), 0), ((2, 2), 30), ((-1, 1), 0), ((1, -1), 77), ((2, 3), 0), ((-2, 0.5), 45)]
)
def test_inserts_scale_mirror_and_stretch(drawing, scale, turn):
    block(drawing)
    attributes = {"xscale": scale[0], "yscale": scale[1], "rotation": turn}
    insert = drawing.space.add_blockref("SHAPE", (200, 300), dxfattribs=attributes)
    lawn = drawing.only()
    assert lawn.shape.area == pytest.approx(STADIUM_AREA * abs(scale[0] * scale[1]), rel=1e-12)
    # The library's own exploded block says where it lies.
    where = insert.matrix44().transform((50, 20, 0))
    assert lawn.shape.centroid.distance(Point(where.x, where.y)) < 1e-6


def test_an_insert_seen_from_below_is_mirrored(drawing):
    block(drawing)
    drawing.space.add_blockref("SHAPE", (200, 300), dxfattribs={"extrusion": (0, 0, -1)})
    shape = drawing.only().shape
    assert shape.area == pytest.approx(STADIUM_AREA, rel=1e-12)
    assert shape.bounds == pytest.approx((-200 - 115, 295, -200 + 25, 335), abs=0.002)


@pytest.mark.parametrize("kind", ["lwpolyline", "circle", "arc"])
def test_entities_seen_from_below_are_mirrored(drawing, kind):
    attributes = on("LAWN") | {"extrusion": (0, 0, -1)}
    if kind == "lwpolyline":
        quarter = [(10, 0, 0), (20, 0, math.tan(math.pi / 8)), (10, 10, 0)]
        drawing.space.add_lwpolyline(quarter, format="xyb", close=True, dxfattribs=attributes)
    elif kind == "circle":
        drawing.space.add_circle((10, 0), 10, dxfattribs=attributes)
    else:
        drawing.space.add_arc((10, 0), 10, 0, 90, dxfattribs=attributes)
        drawing.space.add_lwpolyline([(-10, 10), (-10, 0), (-20, 0)], dxfattribs=on("LAWN"))
    shape = drawing.only().shape
    assert shape.area == pytest.approx(math.pi * 100 / (1 if kind == "circle" else 4), rel=1e-12)
    assert shape.centroid.x < -9


def test_blocks_in_blocks_take_the_layer_of_their_insert(drawing):
    block(drawing, "INNER", layer="0")
    outer = drawing.document.blocks.new("OUTER")
    outer.add_blockref("INNER", (0, 0), dxfattribs=on("0") | {"xscale": 2})
    drawing.space.add_blockref("OUTER", (0, 0), dxfattribs=on("TURF") | {"yscale": 0.5})
    lawn = drawing.only()
    assert lawn.layer == "TURF"
    assert lawn.shape.area == pytest.approx(STADIUM_AREA, rel=1e-12)


def test_an_array_of_inserts(drawing):
    block(drawing)
    array = {"row_count": 2, "column_count": 3, "row_spacing": 100, "column_spacing": 300, "rotation": 10}
    drawing.space.add_blockref("SHAPE", (0, 0), dxfattribs=array)
    shapes = [f.shape for f in drawing.read().features]
    assert len(shapes) == 6
    assert shapes[1].centroid.distance(shapes[0].centroid) == pytest.approx(300)


def test_a_block_within_itself_is_refused(drawing):
    made = block(drawing)
    made.add_blockref("SHAPE", (1, 1))
    drawing.space.add_blockref("SHAPE", (0, 0))
    with pytest.raises(FileError, match='block "SHAPE" is inserted within itself'):
        drawing.read()


def test_blocks_that_multiply_are_refused(drawing):
    names = [f"B{i}" for i in range(9)]
    block(drawing, names[0])
    for inner, outer in itertools.pairwise(names):
        made = drawing.document.blocks.new(outer)
        for i in range(10):
            made.add_blockref(inner, (i, 0))
    drawing.space.add_blockref(
        names[-1],
        (0, 0),
        dxfattribs={"row_count": 30, "column_count": 30, "row_spacing": 1, "column_spacing": 1},
    )
    with pytest.raises(FileError, match="stand for more than"):
        drawing.read()


@pytest.mark.parametrize(
    ("code", "unit", "size"),
    [
        (1, "in", 1),
        (2, "ft", 1),
        (4, "cm", 0.1),
        (6, "m", 1),
        (14, "m", 0.1),
        (21, "us_survey_ft", 1),
        (22, "us_survey_ft", 1 / 12),
    ],
)
def test_units_of_the_header(drawing, code, unit, size):
    """Codes 21 to 24 are US survey units (DXF reference, HEADER, $INSUNITS)."""
    drawing.document.header["$INSUNITS"] = code
    drawing.space.add_lwpolyline(STADIUM, format="xyb", close=True, dxfattribs=on("LAWN"))
    sheet = drawing.read()
    assert sheet.unit == unit
    assert sheet.features[0].shape.area == pytest.approx(STADIUM_AREA * size**2, rel=1e-12)


def test_a_unitless_drawing_says_nothing_and_the_user_is_believed(drawing):
    drawing.document.header["$INSUNITS"] = 0
    drawing.space.add_circle((0, 0), 1, dxfattribs=on("LAWN"))
    assert drawing.read().unit is None
    assert drawing.read(local_units="US survey ft").unit == "us_survey_ft"
    with pytest.raises(QuantityError, match='"acre" is not a unit of length'):
        drawing.read(local_units="acre")


def test_the_user_overrules_the_header_and_is_told(drawing):
    drawing.space.add_circle((0, 0), 1, dxfattribs=on("LAWN"))
    sheet = drawing.read(local_units="ft")
    assert sheet.unit == "ft"
    assert "unit-overruled" in codes(sheet)


def test_two_feet_and_a_crs(drawing):
    """EPSG:2263 is in US survey feet (its own axis unit in the EPSG registry)."""
    drawing.document.units = dxf_units.FT
    drawing.space.add_circle((980_000, 200_000), 10, dxfattribs=on("LAWN"))
    sheet = drawing.read(crs="EPSG:2263")
    assert "foot-differs" in codes(sheet)
    assert sheet.crs == "EPSG:2263"
    drawing.document.units = dxf_units.M
    with pytest.raises(InputError, match=r"its unit is m, but EPSG:2263 is in US survey ft"):
        drawing.read(crs="EPSG:2263")


def test_no_such_crs(drawing):
    drawing.space.add_circle((0, 0), 10, dxfattribs=on("LAWN"))
    with pytest.raises(InputError, match='"EPSG:1" is not a coordinate reference system'):
        drawing.read(crs="EPSG:1")


def test_grid_to_ground(drawing):
    """A grid square of 1000 m at a combined factor of 0.9998 is larger on the ground."""
    drawing.space.add_lwpolyline(
        [(0, 0), (1000, 0), (1000, 1000), (0, 1000)], close=True, dxfattribs=on("LAWN")
    )
    sheet = drawing.read(scale_factor=0.9998)
    assert sheet.features[0].shape.area == pytest.approx(1e6 / 0.9998**2, rel=1e-12)
    assert "scaled-to-ground" in codes(sheet)
    with pytest.raises(ChoiceError, match="a scale factor is for coordinates without a CRS"):
        drawing.read(scale_factor=0.9998, crs="EPSG:32618")


def test_geodata_places_the_drawing(drawing):
    """Drawing in metres turned by 90 degrees and moved: design point, reference point and north are GEODATA's."""
    drawing.space.add_lwpolyline([(0, 0), (40, 0), (40, 10), (0, 10)], close=True, dxfattribs=on("LAWN"))
    geodata = drawing.space.new_geodata()
    geodata.coordinate_system_definition = (
        '<?xml version="1.0" encoding="UTF-16" standalone="no" ?><Dictionary version="1.0" '
        'xmlns="http://www.osgeo.org/mapguide/coordinatesystem"><Alias id="27700" type="CoordinateSystem">'
        "<ObjectId>EPSG=27700</ObjectId><Namespace>EPSG Code</Namespace></Alias>"
        '<Axis uom="METER"><CoordinateSystemAxis><AxisOrder>1</AxisOrder><AxisName>Easting</AxisName>'
        "<AxisAbbreviation>E</AxisAbbreviation><AxisDirection>east</AxisDirection></CoordinateSystemAxis>"
        "<CoordinateSystemAxis><AxisOrder>2</AxisOrder><AxisName>Northing</AxisName>"
        "<AxisAbbreviation>N</AxisAbbreviation><AxisDirection>north</AxisDirection></CoordinateSystemAxis></Axis>"
        "</Dictionary>"
    )
    geodata.dxf.coordinate_type = 2
    geodata.dxf.design_point = (0, 0, 0)
    geodata.dxf.reference_point = (530_000, 180_000, 0)
    geodata.dxf.north_direction = (1, 0)
    sheet = drawing.read()
    assert sheet.crs == "EPSG:27700"
    assert sheet.features[0].shape.bounds == pytest.approx((529_990, 180_000, 530_000, 180_040))


def test_layers_by_words_and_by_hand(drawing):
    def square(x, size, layer):
        drawing.space.add_lwpolyline(
            [(x, 0), (x + size, 0), (x + size, size), (x, size)], close=True, dxfattribs=on(layer)
        )

    square(0, 100, "V-PROP-LINE")
    square(10, 10, "A-BLDG-OTLN")
    square(30, 5, "X1")
    square(40, 20, "L-PLNT-TURF")
    sheet = drawing.read()
    assert [f.attributes["role"] for f in sheet.features] == ["lot", "obstacle", "lawn"]
    assert [
        found.where.partition("layer ")[2] for found in sheet.findings if found.code == "layer-left-out"
    ] == ["X1"]
    sheet = drawing.read(layers={"X*": "bed", "v-prop-line": "lawn", "L-PLNT-TURF": "skip"})
    assert [f.attributes.get("kind", "lawn") for f in sheet.features] == ["lawn", "house", "bed"]
    with pytest.raises(ChoiceError, match=r'"lawm" is not a role.*did you mean "lawn"'):
        drawing.read(layers={"X1": "lawm"})
    with pytest.raises(FileError, match=r'no linework on a layer "Y1".*A-BLDG-OTLN'):
        drawing.read(layers={"Y1": "lawn"})
    with pytest.raises(FileError, match=r'layer "L-PLNT-TURV".*L-PLNT-TURF'):
        drawing.read(layer="L-PLNT-TURV")
    assert [f.layer for f in drawing.read(layer="x1").features] == ["X1"]


def test_layers_that_hint_at_nothing_are_asked_for(drawing):
    for i in range(2):
        drawing.space.add_circle((i * 100, 0), 10, dxfattribs=on(f"X{i}"))
    with pytest.raises(FileError, match=r"no layer can be told to be lawn; .*yard.layers.*X0, X1"):
        drawing.read()


def test_hidden_layers_stay_out_unless_mapped(drawing):
    drawing.document.layers.add("OLD LAWN").freeze()
    drawing.space.add_circle((0, 0), 10, dxfattribs=on("OLD LAWN"))
    drawing.space.add_circle((0, 0), 5, dxfattribs=on("LAWN"))
    assert [f.layer for f in drawing.read().features] == ["LAWN"]
    assert {f.layer for f in drawing.read(layers={"OLD LAWN": "lawn"}).features} == {"LAWN", "OLD LAWN"}


def test_a_text_names_the_smallest_shape_around_it(drawing):
    drawing.space.add_circle((0, 0), 50, dxfattribs=on("LAWN"))
    drawing.space.add_circle((10, 0), 5, dxfattribs=on("BED"))
    drawing.space.add_text("Front lawn", dxfattribs={"insert": (-20, 0), "layer": "NAMES"})
    drawing.space.add_text("124,740 SQ. FT.", dxfattribs={"insert": (-20, 5)})
    drawing.space.add_mtext(r"{\fArial;Rose\Pbed}", dxfattribs={"insert": (10, 0)})
    names = {f.attributes["role"]: f.attributes["name"] for f in drawing.read().features}
    assert names == {"lawn": "Front lawn", "obstacle": "Rose bed"}


def test_a_layer_can_state_the_density(drawing):
    drawing.space.add_circle((0, 0), 50, dxfattribs=on("LAWN-THIN"))
    assert drawing.only().attributes == {"role": "lawn", "density": "thin"}


def test_water_may_stay_open(drawing):
    drawing.space.add_circle((0, 0), 50, dxfattribs=on("LAWN"))
    drawing.space.add_lwpolyline([(60, 0), (70, 30), (60, 60)], dxfattribs=on("CREEK"))
    creek = drawing.read().features[1]
    assert creek.attributes["role"] == "water"
    assert creek.shape.geom_type == "LineString"


def test_what_stands_out_of_plan_is_left_out_and_told(drawing):
    drawing.space.add_circle((0, 0), 50, dxfattribs=on("LAWN"))
    drawing.space.add_circle((0, 0), 50, dxfattribs=on("LAWN") | {"extrusion": (0, 1, 0)})
    sheet = drawing.read()
    assert len(sheet.features) == 1
    assert "1 × CIRCLE out of plan left out: no outline in plan" in [found.text for found in sheet.findings]


def test_list_of_layers(drawing):
    drawing.document.units = dxf_units.FT
    drawing.space.add_circle((0, 0), 10, dxfattribs=on("TURF"))
    drawing.space.add_circle((0, 0), 20, dxfattribs=on("TURF"))
    drawing.space.add_text("note", dxfattribs=on("ANNO"))
    anno, turf = list_layers(drawing.save())
    assert (anno.name, anno.entities, anno.role) == ("ANNO", {"TEXT": 1}, "skip")
    assert turf.role == "lawn"
    assert turf.closed_area_m2 == pytest.approx(
        [math.pi * 400 * 0.3048**2, math.pi * 100 * 0.3048**2], rel=1e-12
    )
    assert turf.to_dict()["entities"] == {"CIRCLE": 2}


def test_a_damaged_drawing_is_recovered_and_told(drawing):
    drawing.space.add_lwpolyline(STADIUM, format="xyb", close=True, dxfattribs=on("LAWN"))
    path = drawing.save()
    text = path.read_text()
    path.write_text(text[: text.index("  2\nOBJECTS\n") + 400])
    sheet = read_dxf(path, Source(local_units="m"))
    assert sheet.features[0].shape.area == pytest.approx(STADIUM_AREA, rel=1e-12)
    assert "drawing-recovered" in codes(sheet)


@pytest.mark.parametrize(
    "content",
    [b"", b"no drawing", b"\x00" * 100, b"AutoCAD Binary DXF\r\n\x1a\x00" + b"\xff" * 50, b"  0\nSECTION\n"],
)
def test_what_is_no_drawing(tmp_path, content):
    path = tmp_path / "no.dxf"
    path.write_bytes(content)
    with pytest.raises(FileError, match=r"cannot be read as a DXF|no closed outline"):
        read_dxf(path, Source())


@pytest.fixture(scope="module")
def whole_drawing():
    """One of each kind of entity, as bytes."""
    document = ezdxf.new("R2000", units=dxf_units.M)
    space = document.modelspace()
    space.add_lwpolyline(STADIUM, format="xyb", close=True, dxfattribs=on("LAWN"))
    space.add_arc((0, 0), 5, 0, 90, dxfattribs=on("LAWN"))
    space.add_spline([(0, 0), (5, 5), (9, 1)], dxfattribs=on("BED"))
    made = document.blocks.new("B")
    made.add_circle((0, 0), 2, dxfattribs=on("TREE"))
    space.add_blockref("B", (5, 5), dxfattribs={"row_count": 2, "row_spacing": 5})
    stream = io.StringIO()
    document.write(stream)
    return io.BytesIO(
        stream.getvalue().encode()
    )  # in place of bytes, which would fill a page when a test fails


@settings(max_examples=40, deadline=None)
@given(st.randoms(use_true_random=False))
def test_mutated_drawings_never_break_out(whole_drawing, rng):
    """Bytes changed, dropped and doubled: a sheet or a plain fault, nothing else."""
    data = bytearray(whole_drawing.getvalue())
    begin = data.index(b"ENTITIES") if rng.random() < 0.7 else 0
    for _ in range(rng.randint(1, 6)):
        at = rng.randrange(begin, len(data))
        how = rng.random()
        if how < 0.6:
            data[at] = rng.choice(b"0123456789-.eE\nAZ \x00\xff")
        elif how < 0.8:
            del data[at : at + rng.randint(1, 40)]
        else:
            data[at:at] = data[at : at + rng.randint(1, 40)]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fuzzed.dxf"
        path.write_bytes(bytes(data))
        try:
            sheet = read_dxf(path, Source(local_units="m"))
        except LawnmapError:
            return
    assert all(feature.shape is not None for feature in sheet.features)


corners = st.lists(st.tuples(st.floats(1, 100), st.floats(-0.9, 0.9)), min_size=3, max_size=12)


@settings(max_examples=15, deadline=None)
@given(corners, st.floats(0, 6.3), st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)))
def test_any_star_keeps_its_area_turned_and_moved(rays, turn, shift):
    """A star of any radii: chained from loose lines in scrambled order it has the area of its corners."""
    step = 2 * math.pi / len(rays)
    star = np.array([[r * math.cos(i * step), r * math.sin(i * step)] for i, (r, _) in enumerate(rays)])
    moved = star @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]) + shift
    document = ezdxf.new(units=dxf_units.M)
    edges = list(zip(moved, np.roll(moved, -1, axis=0), strict=True))
    for i, (start, end) in enumerate(edges[1::2] + edges[::2]):
        ends = (start, end) if i % 2 else (end, start)
        document.modelspace().add_line(*ends, dxfattribs=on("LAWN"))
    with tempfile.TemporaryDirectory() as folder:
        document.saveas(Path(folder) / "star.dxf")
        (lawn,) = read_dxf(Path(folder) / "star.dxf", Source()).features
    assert lawn.shape.area == pytest.approx(Polygon(star).area, rel=1e-6)
