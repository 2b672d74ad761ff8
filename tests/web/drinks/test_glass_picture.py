"""The glass is filled as its shape and the shares of its parts make it."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.web.drinks.glass_picture import ROW, Filling, picture_of, shape_of

SHAPES = ("cup", "stem", "tumbler")


def levels(band):
    """The lowest and the highest y of a band."""
    ys = [float(point.split(",")[1]) for point in band.points.split()]
    return min(ys), max(ys)


@given(
    st.sampled_from(SHAPES),
    st.lists(st.floats(1, 300), min_size=1, max_size=8),
    st.floats(5, 900),
)
def test_bands_fill_the_glass_from_the_bottom_without_gaps(shape, parts, serve_ml):
    picture = picture_of([Filling("part", ml) for ml in parts], serve_ml, shape)
    ends = [levels(band) for band in picture.bands]
    assert ends[0][0] == pytest.approx(picture.surface[0], abs=0.2)
    for above, below in pairwise(ends):
        assert above[1] == pytest.approx(below[0], abs=0.2)


@pytest.mark.parametrize("shape", SHAPES)
def test_a_fuller_glass_stands_higher(shape):
    low, high = (picture_of([Filling("x", ml)], ml, shape).surface[0] for ml in (91, 100))
    assert high < low


def test_each_part_has_a_line_to_its_row_also_without_a_volume():
    parts = [Filling("peel", None), Filling("gin", 45.0), Filling("lemon", 20.0, needs=True)]
    picture = picture_of(parts, 65, "stem")
    assert [lead.row_y for lead in picture.leads] == [ROW / 2, ROW * 1.5, ROW * 2.5]
    assert [lead.needs for lead in picture.leads] == [False, False, True]
    assert (len(picture.bands), picture.has_peel) == (2, True)
    assert picture.leads[0].y < picture.surface[0] < picture.leads[1].y


def test_ice_is_drawn_as_ice_and_no_peel():
    parts = [Filling("gin", 60.0), Filling("ice", None, ice="in it"), Filling("peel", None)]
    picture = picture_of(parts, 60, "tumbler")
    assert (len(picture.cubes), picture.has_peel) == (3, True)
    assert not picture_of(parts[:2], 60, "tumbler").has_peel
    cube = picture.leads[1]
    assert (cube.x, cube.y) in [(each.x, each.y) for each in picture.cubes]


def test_ice_that_it_was_shaken_with_is_not_in_the_glass():
    parts = [Filling("gin", 60.0), Filling("ice", None, ice="away"), Filling("water", 20.0)]
    picture = picture_of(parts, 80, "stem")
    assert (picture.cubes, picture.has_peel) == ((), False)
    # Its row stays empty: the others keep theirs.
    assert [lead.row_y for lead in picture.leads] == [ROW / 2, ROW * 2.5]


@pytest.mark.parametrize("shape", SHAPES)
@given(st.floats(5, 900), st.floats(0, 500), st.none() | st.floats(5, 900))
def test_ice_stays_within_the_glass(shape, serve_ml, ice_ml, holds_ml):
    picture = picture_of([Filling("gin", serve_ml)], serve_ml, shape, ice_ml, holds_ml)
    middle = (picture.surface[1] + picture.surface[2]) / 2
    bottom = max(levels(band)[1] for band in picture.bands)
    for cube in picture.cubes:
        assert cube.y + 17 <= bottom + 1
        assert abs(cube.x - middle) + 17 <= 90


def test_more_ice_is_more_pieces_and_a_higher_level():
    none, some, more = (
        picture_of([Filling("gin", 60)], 60, "tumbler", ice_ml, 300.0) for ice_ml in (None, 50, 150)
    )
    assert none.surface[0] > some.surface[0] > more.surface[0]
    # Pieces of 25 ml.
    assert [len(each.cubes) for each in (none, some, more)] == [0, 2, 6]


def test_a_glass_of_known_size_is_filled_as_far_as_its_serve_goes():
    usual, large, over = (
        picture_of([Filling("gin", 90)], 90, "tumbler", holds_ml=size)
        for size in (None, 400.0, 80.0)
    )
    assert (usual.size_ml, large.size_ml) == (120, 400)
    assert large.surface[0] > usual.surface[0] > over.surface[0]


@pytest.mark.parametrize(
    ("name", "material", "shape"),
    [("small cup", "porcelain", "cup"), ("stemmed glass", "glass", "stem"),
     ("", "glass", "tumbler"), ("coupe", "glass", "stem"), ("", "stoneware", "cup"),
     ("beaker", "steel", "tumbler")],
)  # fmt: skip
def test_a_vessel_looks_as_its_name_or_its_material_says(name, material, shape):
    assert shape_of(name, material) == shape
