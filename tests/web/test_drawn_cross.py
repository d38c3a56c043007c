"""The drawn cross against models that know nothing of ours: matrices, and the sphere itself."""

from __future__ import annotations

import itertools
import random
import re
from functools import cache

import numpy as np
import numpy.typing as npt
import pytest
import sympy
from scipy.spatial.transform import Rotation

from solverworker.cube.frames import edges_of, frames
from solverworker.cube.notation import parse
from solverworker.cube.pieces import EDGE_PLACES
from training.web.parts.drawn import draw_cross, track
from training.web.pictures.cube import MIDDLES, SEEN, UNIT, draw_cube, layers_in
from training.web.pictures.plane import CENTRES, PLACES, RADII, facing, legs, way
from training.web.pictures.rings import draw_rings
from training.web.saying.edges import say_edges

Points = npt.NDArray[np.int64]

# x to the right, y up, z to the front. White up and green in front (WCA 4d1); WCA 12a: a face
# turns clockwise as seen from outside, M, E and S follow L, D and F, x, y and z follow R, U, F.
OUT = {
    "U": (0, 1, 0),
    "R": (1, 0, 0),
    "F": (0, 0, 1),
    "D": (0, -1, 0),
    "L": (-1, 0, 0),
    "B": (0, 0, -1),
}
COLOURS = {
    "U": "white",
    "R": "red",
    "F": "green",
    "D": "yellow",
    "L": "orange",
    "B": "blue",
}
LAYERS = {
    **{face: (face, (1,)) for face in OUT},
    **{face + "w": (face, (0, 1)) for face in OUT},
    "M": ("L", (0,)),
    "E": ("D", (0,)),
    "S": ("F", (0,)),
    "x": ("R", (-1, 0, 1)),
    "y": ("U", (-1, 0, 1)),
    "z": ("F", (-1, 0, 1)),
}
TOKENS = [family + suffix for family in LAYERS for suffix in ("", "2", "'")]


class Stickers:
    """Centres and edges as stickers in space: where each piece is, where it looks to. Source:
    rotation matrices of scipy.spatial.transform, for WCA 12a's definitions of the moves."""

    def __init__(self) -> None:
        self.pieces: Points
        self.looks: Points
        pieces, looks, self.colours = [], [], []
        for one, out in OUT.items():
            pieces.append(out)
            looks.append(out)
            self.colours.append((COLOURS[one],))
            for other, towards in OUT.items():
                if abs(np.dot(out, towards)) == 0:
                    pieces.append(tuple(np.add(out, towards)))
                    looks.append(out)
                    self.colours.append((COLOURS[one], COLOURS[other]))
        self.pieces, self.looks = np.array(pieces), np.array(looks)

    def turn(self, token: str) -> None:
        family = token.rstrip("2'")
        face, layers = LAYERS[family]
        quarters = 2 if token.endswith("2") else 3 if token.endswith("'") else 1
        axis = np.array(OUT[face])
        matrix = Rotation.from_rotvec(-quarters * np.pi / 2 * axis).as_matrix().round().astype(int)
        moved = np.isin(self.pieces @ axis, layers)
        self.pieces[moved] = self.pieces[moved] @ matrix.T
        self.looks[moved] = self.looks[moved] @ matrix.T

    def seen(self, place: tuple[int, ...], look: tuple[int, ...]) -> tuple[str, ...]:
        """The colour of a sticker, for an edge with that of its other one."""
        found = (self.pieces == place).all(axis=1) & (self.looks == look).all(axis=1)
        return self.colours[int(np.flatnonzero(found)[0])]

    def face_of(self, cross: str, side: str) -> tuple[str, str]:
        """On which faces the two stickers of an edge are, that of the cross first."""
        at = self.colours.index((cross, side))
        look = next(face for face, out in OUT.items() if (self.looks[at] == out).all())
        rest = self.pieces[at] - self.looks[at]
        return look, next(face for face, out in OUT.items() if (rest == out).all())


def some_moves(rng: random.Random, most: int) -> list[str]:
    return [rng.choice(TOKENS) for _ in range(rng.randint(0, most))]


def test_ten_thousand_pictures_are_those_of_the_matrices() -> None:
    rng = random.Random(20_261_126)
    pictures = 0
    while pictures < 10_000:
        scramble = some_moves(rng, 25) or ["R"]
        moves, cross = some_moves(rng, 9), rng.choice(list(COLOURS.values()))
        model = Stickers()
        for token in scramble:
            model.turn(token)
        text, tokens = " ".join(moves), parse(" ".join(moves))
        found = frames(" ".join(scramble), text, cross)
        assert len(found) == len(moves) + 1
        for step, frame in enumerate(found):
            if step:
                model.turn(moves[step - 1])
            centres = tuple(model.seen(out, out)[0] for out in OUT.values())
            assert frame.centres == centres
            drawn = draw_rings(found, tokens, step, cross)
            facelets = draw_cube(frame, tokens[step - 1] if step else None, cross).facelets
            assert [disc.colour for disc in drawn.discs] == list(centres)
            assert [facelet.colour for facelet in facelets[:6]] == list(centres)
            for number, side in enumerate(edges_of(cross)):
                look, other = model.face_of(cross, side)
                edge = frame.edges[number]
                name = EDGE_PLACES[edge // 2]
                assert (name[edge % 2], name[1 - edge % 2]) == (look, other)
                chip = drawn.chips[number]
                assert (chip.colour, chip.side) == (cross, side)
                x, y = PLACES[edge // 2]
                assert max(abs(chip.x - x), abs(chip.y - y)) < 0.006
                for facelet, colour, on, towards in (
                    (facelets[6 + 2 * number], cross, look, other),
                    (facelets[7 + 2 * number], side, other, look),
                ):
                    assert facelet.colour == colour
                    x, y = isometric(on, towards)
                    assert max(abs(facelet.x - x), abs(facelet.y - y)) < 0.06
            pictures += 1


@cache
def isometric(face: str, towards: str) -> tuple[float, float]:
    """A sticker's middle seen along a diagonal of the cube. Source: the isometric projection,
    two turns of the object (45° about the vertical, then arctan(1/√2)) before it is flattened."""
    view = SEEN[face]
    turn = -45 if view == "front" else 135
    tilt = np.degrees(np.arctan(1 / np.sqrt(2))) * (1 if view == "front" else -1)
    about = Rotation.from_euler("yx", (turn, tilt), degrees=True)
    x, y, _ = about.apply(1.5 * np.array(OUT[face]) + np.array(OUT[towards]))
    length = np.sqrt(2 / 3)  # of an edge of the cube in this projection
    return MIDDLES[view][0] + UNIT * x / length, MIDDLES[view][1] - UNIT * y / length


def test_every_sticker_is_seen_in_one_of_the_two_views() -> None:
    for face, out in OUT.items():
        towards = 1 if SEEN[face] == "front" else -1
        assert np.dot(out, (towards, towards, towards)) > 0


def projected(point: sympy.Matrix) -> tuple[sympy.Expr, sympy.Expr]:
    """Stereographic projection from the lowest point of the sphere that touches all edges, onto
    the plane through its middle, seen from above with the front below. Source: its textbook
    definition; the sphere's radius is √2 where a face is two wide."""
    x, y, z = point
    far = sympy.sqrt(2) / (sympy.sqrt(2) + y)
    return sympy.simplify(x * far), sympy.simplify(z * far)


def test_the_rings_are_the_circles_in_which_the_sphere_cuts_the_faces() -> None:
    scale = sympy.Rational(0)
    for face, out in OUT.items():
        middle = sympy.Matrix(out)
        one, other = (
            sympy.Matrix(OUT[near])
            for near in ("FR" if face in "UD" else "UF" if face in "RL" else "UR")
        )
        # Four points of the circle of that face; the sphere has √2, the face is 1 away.
        circle = [middle + one, middle + other, middle - one, middle - other]
        assert all(point.dot(point) == 2 for point in circle)
        ring = sympy.Circle(*[sympy.Point(*projected(point)) for point in circle[:3]])
        assert (
            sympy.simplify(ring.radius - ring.center.distance(sympy.Point(*projected(circle[3]))))
            == 0
        )
        if face == "U":
            scale = RADII["U"] / ring.radius
        assert float(ring.radius * scale) == pytest.approx(RADII[face])
        assert [float(at * scale) for at in ring.center.args] == pytest.approx(list(CENTRES[face]))


def test_radii_grow_by_one_and_the_root_of_two() -> None:
    growth = 1 + sympy.sqrt(2)
    for face in "RFLB":
        assert RADII[face] / RADII["U"] == pytest.approx(float(growth))
    assert RADII["D"] / RADII["U"] == pytest.approx(float(growth**2))


def test_rings_of_neighbouring_faces_touch_where_their_edge_is() -> None:
    for place, name in zip(PLACES, EDGE_PLACES, strict=True):
        for face in name:
            assert np.hypot(*np.subtract(place, CENTRES[face])) == pytest.approx(RADII[face])
        one, other = name
        apart = np.hypot(*np.subtract(CENTRES[one], CENTRES[other]))
        radii = RADII[one], RADII[other]
        inside = "D" in name
        assert apart == pytest.approx(abs(radii[0] - radii[1]) if inside else sum(radii))
        x, y = (float(at) for at in projected(sympy.Matrix(OUT[one]) + sympy.Matrix(OUT[other])))
        scale = RADII["U"] / (np.sqrt(2) - 1) / np.sqrt(2)
        assert np.array([x, y]) * scale == pytest.approx(np.array(place), abs=1e-9)


@pytest.mark.parametrize("face", list(OUT))
def test_a_turn_carries_chips_along_arcs_of_its_ring(face: str) -> None:
    # Source: the angles of the four touching points on each circle, by arctan2.
    arcs = []
    for edge in range(24):
        if face not in EDGE_PLACES[edge // 2]:
            assert legs(edge, parse(face)[0]) == ()
            continue
        ((on, before, after),) = legs(edge, parse(face)[0])
        assert on == face
        assert before == edge // 2
        start = np.add(*(OUT[one] for one in EDGE_PLACES[before]))
        axis = np.array(OUT[face])
        matrix = Rotation.from_rotvec(-np.pi / 2 * axis).as_matrix().round().astype(int)
        end = np.add(*(OUT[one] for one in EDGE_PLACES[after]))
        assert (matrix @ start == end).all()
        angles = [
            np.degrees(np.arctan2(*np.subtract(PLACES[at], CENTRES[face])[::-1]))
            for at in (before, after)
        ]
        clockwise = (angles[1] - angles[0]) % 360
        arcs.append(round(360 - clockwise if face == "D" else clockwise, 6))
        sweep = re.search(r"A[\d.]+ [\d.]+ 0 0 (\d)", way(edge, 2 * after, parse(face)[0]))
        assert sweep
        assert sweep[1] == ("0" if face == "D" else "1")
    assert sorted(set(arcs)) == ([90] if face in "UD" else [45, 135])


def test_a_half_turn_goes_by_the_place_between_and_a_prime_goes_back() -> None:
    for edge, face in itertools.product(range(24), OUT):
        if face not in EDGE_PLACES[edge // 2]:
            continue
        (first,) = legs(edge, parse(face)[0])
        half = legs(edge, parse(f"{face}2")[0])
        assert half[0] == first
        assert half[1] == legs(2 * first[2], parse(face)[0])[0]
        assert legs(2 * first[2], parse(f"{face}'")[0]) == ((face, first[2], first[1]),)


def test_a_chip_lies_with_its_cross_colour_in_the_ring_of_the_face_it_is_on() -> None:
    for edge in range(24):
        name = EDGE_PLACES[edge // 2]
        face, other = name[edge % 2], name[1 - edge % 2]
        angle = np.radians(facing(edge))
        step = np.array([np.cos(angle), np.sin(angle)])

        def inside(ring: str, at: npt.NDArray[np.float64]) -> bool:
            within = np.hypot(*(at - CENTRES[ring])) < RADII[ring]
            return bool(within != (ring == "D"))  # the bottom is all that lies outside its ring

        assert inside(face, np.array(PLACES[edge // 2]) + 5 * step)
        assert inside(other, np.array(PLACES[edge // 2]) - 5 * step)


@pytest.mark.parametrize("colour", COLOURS.values())
def test_each_half_of_a_chip_has_its_letter_and_in_print_its_weave(colour: str) -> None:
    """Without colour they tell the chips apart. Our own letters and patterns, no source."""
    for chip, side in zip(
        draw_cross("R D", "", colour=colour, step=0).rings.chips, edges_of(colour), strict=True
    ):
        letters = re.findall(r'<text class="letter-(\w+)"[^>]*>\s*(\w)', chip.drawn)
        assert letters == [(colour, colour[0]), (side, side[0])]
        weaves = re.findall(r'class="weave"\s+d="([^"]+)"\s+fill="([^"]+)"', chip.drawn)
        halves = re.findall(r'class="sticker [^"]+" d="([^"]+)"', chip.drawn)
        assert [way for way, _fill in weaves] == halves
        assert [fill for _way, fill in weaves] == [
            "none" if one == "white" else f"url(#weave-{one})" for one in (colour, side)
        ]


def test_layers_and_the_whole_ring_are_named_for_the_drawing() -> None:
    assert [layers_in(token) for token in parse("U Lw2 E y")] == [("U",), ("L", "M"), ("E",), ()]
    assert layers_in(None) == ()
    solved = frames("R D", "D' R'", "yellow")
    drawn = [draw_rings(solved, parse("D' R'"), step, "yellow").whole for step in range(3)]
    assert drawn == ["", "", "D"]
    turned_over = frames("R D", "D' R' x2", "yellow")
    assert draw_rings(turned_over, parse("D' R' x2"), 3, "yellow").whole == "U"


def test_a_trail_is_the_ways_of_its_edge_and_a_turn_of_the_cube_leaves_none() -> None:
    drawn = draw_cross("R D", "y D2", colour="yellow", step=2)
    for travel in drawn.rings.travels:
        assert travel.trail.count("M") <= 1
        assert travel.trail.count("A") in (0, 2)
        assert bool(travel.arc) == bool(travel.trail)
    assert [travel.arc for travel in draw_cross("R", "y", colour="red", step=1).rings.travels] == [
        ""
    ] * 4


def test_edges_are_said_as_a_person_would() -> None:
    (frame,) = frames("U", "", "white")
    said = say_edges(frame, "white").rstrip(".").split("; ")
    # U carries front to left, right to front, back to right, left to back (WCA 12a).
    assert said == [
        "white and green: top, left, white facing up",
        "white and blue: top, right, white facing up",
        "white and red: top, in front, white facing up",
        "white and orange: top, behind, white facing up",
    ]
    (frame,) = frames("R F", "", "yellow")
    assert "yellow and green: bottom, left" not in say_edges(frame, "yellow")
    assert "yellow and green: middle, in front at the left, yellow facing left" in say_edges(
        frame, "yellow"
    )


def test_a_track_has_a_frame_a_moment() -> None:
    made = track("R D", "D' R'", "yellow")
    assert made.frames.split() == ["wrgyobswiq", "wrgyobquiw", "wrgyobqusw"]
    assert (made.moves, made.colours) == ("D' R'", "ygbro")
