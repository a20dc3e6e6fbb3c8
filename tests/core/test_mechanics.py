"""When does a support give way, and when does a stack tip? Against textbooks, handbooks and sums done anew."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consult.core.mechanics import (
    AMERICAN_BEECH,
    GRAVITY,
    MPA_PER_PSI,
    PAPER_BIRCH,
    POLYPROPYLENE,
    YELLOW_BIRCH,
    Ends,
    Gives,
    Mass,
    Material,
    Section,
    buckling_n,
    capacity,
    centre_height_mm,
    crushing_n,
    denting_n,
    gives_first,
    load_each_n,
    rod,
    tip_angle_deg,
    tips_at_g,
    tube,
    weight_n,
)

INCH = 25.4
KILO = 1000


def test_a_steel_tube_buckles_as_hibbeler_has_it():
    """Hibbeler, Mechanics of Materials (SI), example 13.1: 228.2 kN, 100.2 MPa."""
    section = tube(150, 5)
    load = buckling_n(200e3, section.second_moment_mm4, 7200)
    assert load / KILO == pytest.approx(228.2, rel=0.001)
    assert load / section.area_mm2 == pytest.approx(100.2, rel=0.001)


@pytest.mark.parametrize(
    ("ends", "kilonewtons"),
    [
        (Ends.PINNED, 62.2),
        (Ends.ONE_FREE, 15.6),
        (Ends.ONE_FIXED_ONE_PINNED, 127),
        (Ends.FIXED, 249),
    ],
)
def test_a_pipe_buckles_by_how_its_ends_are_held(ends, kilonewtons):
    """Gere, Mechanics of Materials, 7th edition, problem 11.4-2."""
    load = buckling_n(210e3, tube(40, 2).second_moment_mm4, 1200, ends)
    assert load / KILO == pytest.approx(kilonewtons, rel=0.005)


def test_a_short_steel_column_is_crushed_before_it_buckles():
    """Hibbeler, example 13.2 (W200x46): Euler 1 887.6 kN, but 1 472.5 kN by yielding governs."""
    column = capacity(Material("steel", 200e3, 250, "Hibbeler"), Section(5890, 15.3e6), 4000, 1.0)
    assert column.buckling_n / KILO == pytest.approx(1887.6, rel=0.001)
    assert column.limit_n / KILO == pytest.approx(1472.5, rel=0.001)
    assert column.gives_way_by == "crushing"


def test_a_hinged_steel_bar_buckles_as_in_the_engineering_entrance_examination():
    """GATE 2015 (India), mechanical: E 200 GPa, 1.0 m, 10 x 20 mm, hinged: 3 285 to 3 295 N accepted."""
    assert 3285 <= buckling_n(200e3, 20 * 10**3 / 12, 1000) <= 3295


def test_a_round_bar_may_carry_its_buckling_load_by_its_design_factor():
    """A worked example on a page of engineering calculators: bar of 50 mm, 2 m, hinged, 205 GPa, yield
    345 MPa, design factor 5: 31.04 kN."""
    bar = capacity(Material("steel", 205e3, 345, "ASTM A588"), rod(50), 2000, 5)
    assert bar.allowed_n / KILO == pytest.approx(31.04, abs=0.005)


# Mott, Machine Elements in Mechanical Design, 4th edition, table A16-6: schedule 40 pipe, in inches.
@pytest.mark.parametrize(
    ("outside", "wall", "area", "second_moment"),
    [
        (2.375, 0.154, 1.075, 0.6658),
        (3.500, 0.216, 2.228, 3.017),
        (4.500, 0.237, 3.174, 7.233),
        (6.625, 0.280, 5.581, 28.14),
        (8.625, 0.322, 8.399, 72.49),
        (10.750, 0.365, 11.91, 160.7),
    ],
)
def test_a_tube_has_the_section_that_the_pipe_tables_print(outside, wall, area, second_moment):
    section = tube(outside, wall)
    assert section.area_mm2 == pytest.approx(area, rel=0.0006)
    assert section.second_moment_mm4 == pytest.approx(second_moment, rel=0.0006)


def test_a_perfect_thin_tube_dents_at_the_classical_stress():
    """E t / (r sqrt(3 (1 - v2))) with v = 0.3 (Timoshenko and Gere, from memory): 0.605 E t / r.

    The lower bound of NASA SP-8007 falls away for a wall that is thick against its radius.
    """
    thick = Section(1.0, 1.0, 1e-6, 1.0)
    classical = 1000 / (1e-6 * math.sqrt(3 * (1 - 0.3**2)))
    assert denting_n(1000, thick) == pytest.approx(classical, rel=0.001)


def test_a_clamped_column_carries_four_times_a_hinged_one():
    """GATE (India), mechanical: the ratio of clamped to hinged is 4."""
    hinged, clamped = (buckling_n(200e3, 1000, 500, ends) for ends in (Ends.PINNED, Ends.FIXED))
    assert clamped / hinged == pytest.approx(4)


def test_the_effective_length_of_fixed_and_pinned_ends_solves_its_equation():
    """tan(kL) = kL has its first root at 4.4934 (Gere, chapter 11): K = pi / 4.4934."""
    low, high = 4.0, 4.7
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if math.tan(middle) < middle else (low, middle)
    assert Ends.ONE_FIXED_ONE_PINNED.value == pytest.approx(math.pi / low, abs=0.0005)


@pytest.mark.parametrize(("inches", "newtons"), [(4, 1058), (5, 677), (6, 470)])
def test_a_quarter_inch_birch_dowel_by_its_length(inches, newtons):
    """Wood Handbook values put into Euler's formula by hand; crushing 1 784 N."""
    found = capacity(YELLOW_BIRCH, rod(INCH / 4), inches * INCH, 1.0)
    assert found.limit_n == pytest.approx(newtons, rel=0.005)
    assert found.crushing_n == pytest.approx(1784, rel=0.005)
    assert found.gives_way_by == "buckling"
    assert math.isinf(found.denting_n)


@pytest.mark.parametrize(
    ("material", "modulus_gpa", "crushing"),
    [(YELLOW_BIRCH, 13.9, 56.3), (PAPER_BIRCH, 11.0, 39.2), (AMERICAN_BEECH, 11.9, 50.3)],
)
def test_woods_agree_in_pounds_and_in_pascals(material, modulus_gpa, crushing):
    """Wood Handbook, Table 5-3, prints each value in both systems."""
    assert material.modulus_mpa / KILO == pytest.approx(modulus_gpa, rel=0.005)
    assert material.crushing_mpa == pytest.approx(crushing, rel=0.005)


def test_beech_is_as_stiff_as_a_second_source_has_it():
    """12.2 GPa, Journal of Wood Science 2019, table 1 of a study of beech joints."""
    assert AMERICAN_BEECH.modulus_mpa == pytest.approx(12200, rel=0.05)


def test_polypropylene_is_taken_at_the_low_end_of_its_range():
    """Modern Plastics Encyclopedia 99: 1.14 to 1.55 GPa, 38 to 55 MPa."""
    assert POLYPROPYLENE.modulus_mpa / KILO == pytest.approx(1.14, abs=0.005)
    assert POLYPROPYLENE.crushing_mpa == pytest.approx(38, abs=0.1)


def test_a_pound_on_a_square_inch_is_a_force_on_an_area():
    """Pound 0.45359237 kg and inch 25.4 mm, both exact (1959)."""
    assert pytest.approx(0.45359237 * GRAVITY / INCH**2, rel=1e-9) == MPA_PER_PSI


def test_a_tube_is_a_rod_less_its_hole():
    whole, hole, ring = rod(12), rod(11), tube(12, 0.5)
    assert ring.area_mm2 == pytest.approx(whole.area_mm2 - hole.area_mm2)
    assert ring.second_moment_mm4 == pytest.approx(whole.second_moment_mm4 - hole.second_moment_mm4)
    assert tube(12, 6) == rod(12)


def test_the_second_moment_of_a_disc_agrees_with_a_sum_of_thin_strips():
    """I = sum of y2 dA, and the perpendicular-axis theorem: twice that is the polar moment."""
    radius, steps = 5.0, 20_000
    thin = 2 * radius / steps
    strips = (-radius + (step + 0.5) * thin for step in range(steps))
    summed = sum(y * y * 2 * math.sqrt(radius**2 - y * y) * thin for y in strips)
    assert rod(10).second_moment_mm4 == pytest.approx(summed, rel=1e-5)
    assert 2 * rod(10).second_moment_mm4 == pytest.approx(math.pi * 10**4 / 32)


@pytest.mark.parametrize(
    ("diameter", "wall", "modulus", "crushing", "euler_n", "crushed_n"),
    [(12, 0.5, 1400, 38, 400, 686), (11, 0.2, 1400, 38, 132, 258)],
)
def test_a_straw_buckles_and_is_crushed_as_reckoned_by_hand(
    diameter, wall, modulus, crushing, euler_n, crushed_n
):
    """Polypropylene of 1.4 GPa and 38 MPa, 4 in long, by hand."""
    section = tube(diameter, wall)
    assert buckling_n(modulus, section.second_moment_mm4, 101.6) == pytest.approx(euler_n, rel=0.02)
    assert crushing_n(crushing, section.area_mm2) == pytest.approx(crushed_n, rel=0.01)


def test_a_thin_straw_dents_before_it_is_crushed_and_a_thick_one_does_not():
    thin = capacity(POLYPROPYLENE, tube(11, 0.2), 30, 1.0)
    assert thin.gives_way_by == "denting"
    assert capacity(POLYPROPYLENE, tube(12, 0.5), 30, 1.0).gives_way_by == "crushing"
    assert capacity(POLYPROPYLENE, tube(12, 0.5), 101.6, 1.0).gives_way_by == "buckling"


def test_denting_follows_the_lower_bound_for_thin_cylinders():
    """NASA SP-8007: at a radius of 100 walls the factor is 0.581 (its curve, from memory)."""
    section = Section(1000.0, 1.0, 100.0, 1.0)
    assert denting_n(1000, section) / (0.605 * 1000 / 100 * 1000) == pytest.approx(0.581, abs=0.001)


@given(
    st.floats(1, 30), st.floats(10, 400), st.floats(1.01, 3), st.sampled_from(list(Ends)),
)  # fmt: skip
def test_a_longer_support_never_carries_more(diameter, length, longer, ends):
    short = capacity(PAPER_BIRCH, rod(diameter), length, 4, ends)
    long = capacity(PAPER_BIRCH, rod(diameter), length * longer, 4, ends)
    assert long.buckling_n < short.buckling_n
    assert long.allowed_n <= short.allowed_n


@given(st.floats(4, 30), st.floats(0.1, 0.9), st.floats(20, 300))
def test_a_thicker_wall_never_carries_less(diameter, share, length):
    thin, thick = diameter / 2 * share * 0.5, diameter / 2 * share
    weak, strong = (
        capacity(POLYPROPYLENE, tube(diameter, wall), length, 4) for wall in (thin, thick)
    )
    assert strong.allowed_n >= weak.allowed_n * (1 - 1e-9)


def test_the_safety_factor_divides_the_limit():
    found = capacity(PAPER_BIRCH, rod(6.35), 101.6, 4)
    assert found.allowed_n * 4 == pytest.approx(min(found.buckling_n, found.crushing_n))


def test_a_kilogram_weighs_what_standard_gravity_says():
    assert weight_n(1000) == pytest.approx(9.80665)
    assert weight_n(453.59237) == pytest.approx(4.4482216152605)  # a pound-force, exact


@given(st.floats(0, 50_000), st.integers(1, 40), st.floats(1, 3))
def test_loads_add_up_to_the_weight_and_its_uneven_sharing(grams, supports, uneven):
    each = load_each_n(grams, supports, uneven)
    assert each * supports == pytest.approx(weight_n(grams) * uneven)


def test_a_stack_tips_over_its_edge():
    """A forum's worked example, done again: centre 1 ft up, base 3 ft wide: 56.3 degrees."""
    assert tip_angle_deg(12 * INCH, 18 * INCH) == pytest.approx(56.3, abs=0.1)


def test_a_brick_on_end_tips_at_its_diagonal():
    """A block twice as tall as wide tips at 26.565 degrees, where its diagonal is upright."""
    assert tip_angle_deg(100, 50) == pytest.approx(26.565, abs=0.001)
    assert tips_at_g(100, 50) == pytest.approx(0.5)


def test_braking_tips_as_a_cars_static_stability_factor_has_it():
    """NHTSA: half the track over the centre's height; 1.5 m track and 0.6 m height give 1.25."""
    assert tips_at_g(600, 1500 / 2) == pytest.approx(1.25)


def test_it_slides_where_the_floor_is_slippery_and_tips_where_it_grips():
    assert gives_first(100, 50, friction=0.3) is Gives.SLIDES
    assert gives_first(100, 50, friction=0.7) is Gives.TIPS


def test_the_centre_of_parts_lies_between_them_by_weight():
    """The law of the lever: 3 kg at 0 and 1 kg at 400 mm balance at 100 mm."""
    assert centre_height_mm([Mass(3000, 0), Mass(1000, 400)]) == pytest.approx(100)
    assert centre_height_mm([]) == 0


@given(st.lists(st.tuples(st.floats(1, 9000), st.floats(0, 900)), min_size=1, max_size=8))
def test_the_centre_is_never_outside_the_parts(parts):
    masses = [Mass(*part) for part in parts]
    heights = [mass.height_mm for mass in masses]
    assert min(heights) - 1e-6 <= centre_height_mm(masses) <= max(heights) + 1e-6


def test_what_has_no_measure_is_refused():
    for wrong in (lambda: rod(0), lambda: tube(10, -1), lambda: load_each_n(100, 0)):
        with pytest.raises(ValueError, match=r"zero|no support"):
            wrong()
    with pytest.raises(ValueError, match="zero"):
        buckling_n(1000, 10, math.inf)
