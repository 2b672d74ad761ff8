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


@pytest.mark.parametrize(
    ("name", "material", "shape"),
    [("small cup", "porcelain", "cup"), ("stemmed glass", "glass", "stem"),
     ("", "glass", "tumbler"), ("coupe", "glass", "stem"), ("", "stoneware", "cup"),
     ("beaker", "steel", "tumbler")],
)  # fmt: skip
def test_a_vessel_looks_as_its_name_or_its_material_says(name, material, shape):
    assert shape_of(name, material) == shape
