"""The geometry of the pictures: what stands where, and that words say the same."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solverworker.cube.net import net
from solverworker.cube.notation import parse
from solverworker.report import LedgerRow
from training.web.pictures.bar import WIDTH, loss_bar
from training.web.pictures.eight_rule import eight_rule
from training.web.pictures.net import FACES, draw_net, net_code
from training.web.pictures.qr import draw_qr
from training.web.pictures.staircase import WIDTH as STAIR_WIDTH
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.pictures.turn import draw_turn


class TestEightRule:
    @given(st.integers(0, 8), st.integers(0, 30))
    def test_marks_count_what_the_words_say(self, best: int, over: int) -> None:
        rule = eight_rule(best, best + over)
        kinds = [mark.kind for mark in rule.marks]
        assert kinds.count("best") == best
        assert kinds.count("over") == min(over, 8 - best + 10)
        assert kinds.count("spare") == max(0, 8 - best - over)
        assert rule.words == f"best {best}, plan {best + over}"

    @given(st.integers(0, 8), st.integers(0, 30), st.sampled_from(["full", "line"]))
    def test_marks_go_on_to_the_right_inside_the_drawing(
        self, best: int, over: int, kind: str
    ) -> None:
        rule = eight_rule(best, best + over, kind=kind)  # type: ignore[arg-type]
        ends = [(mark.x, mark.x + mark.width) for mark in rule.marks]
        assert all(a[1] < b[0] for a, b in itertools.pairwise(ends))
        assert ends[-1][1] <= rule.width
        if rule.notch is not None and best:
            assert ends[best - 1][1] < rule.notch < ends[best][0]

    def test_marks_past_eight_are_smaller(self) -> None:
        rule = eight_rule(6, 9)
        assert rule.eight is not None
        past = [mark for mark in rule.marks if mark.x > rule.eight]
        assert len(past) == 1
        assert past[0].height < rule.marks[0].height

    def test_a_plan_that_is_not_solved_shows_the_best_alone(self) -> None:
        rule = eight_rule(5, None)
        assert [mark.kind for mark in rule.marks].count("over") == 0
        assert rule.words == "best 5, not solved"

    @pytest.mark.parametrize(("best", "moves"), [(9, 9), (-1, 0), (5, 4)])
    def test_what_cannot_be_is_refused(self, best: int, moves: int) -> None:
        with pytest.raises(ValueError, match=r"best|under"):
            eight_rule(best, moves)


def ledger(*rows: tuple[str, int, int, int]) -> list[LedgerRow]:
    return [LedgerRow(*row) for row in rows]


LOST = ledger(("z2", 0, 3, 0), ("D", 1, 3, 1), ("M", 2, 3, 2), ("R", 1, 4, 2), ("F2", 1, 3, 0))


def tiles_of(stairs: Staircase) -> list:
    return [tile for flight in stairs.flights for tile in flight.tiles]


class TestStaircase:
    def test_a_move_that_loses_nothing_steps_down_and_a_lost_one_runs_level_or_up(self) -> None:
        tiles = {tile.token: tile for tile in tiles_of(staircase(LOST, 3, name="The plan"))}
        step, level, up = (tiles[t].treads[-1] for t in ("F2", "D", "R"))
        assert step.y > step.riser
        assert level.y == level.riser
        assert up.y < up.riser

    def test_a_notch_is_as_deep_as_its_loss(self) -> None:
        tiles = {tile.token: tile for tile in tiles_of(staircase(LOST, 3, name="The plan"))}
        assert tiles["F2"].notch is None
        assert tiles["R"].notch[3] == 2 * tiles["D"].notch[3]

    def test_a_slice_is_two_treads_of_half_the_width(self) -> None:
        tiles = {tile.token: tile for tile in tiles_of(staircase(LOST, 3, name="The plan"))}
        first, second = tiles["M"].treads
        assert first.x2 - first.x1 == pytest.approx(tiles["D"].width / 2, abs=0.02)
        assert second.x1 == first.x2

    def test_a_rotation_is_thinner_and_level(self) -> None:
        tiles = {tile.token: tile for tile in tiles_of(staircase(LOST, 3, name="The plan"))}
        assert tiles["z2"].width < tiles["D"].width
        assert tiles["z2"].treads[0].y == tiles["z2"].treads[0].riser

    def test_the_last_tread_of_a_solved_plan_stands_on_the_floor(self) -> None:
        stairs = staircase(ledger(("D", 1, 1, 0), ("R", 1, 0, 0)), 2, name="The plan")
        floor = stairs.flights[0].levels[0].y1
        assert tiles_of(stairs)[-1].treads[-1].y == floor

    @given(st.lists(st.sampled_from([0, 1, 2]), max_size=80), st.integers(0, 8))
    def test_any_plan_fits_a_phone_in_flights(self, moves: list[int], start: int) -> None:
        rows = [LedgerRow(f"t{n}", cost, start, cost) for n, cost in enumerate(moves)]
        stairs = staircase(rows, start, shortest=start, name="The plan")
        assert [tile.step for tile in tiles_of(stairs)] == list(range(1, len(rows) + 1))
        for flight in stairs.flights:
            for tile in flight.tiles:
                assert tile.x + tile.width <= STAIR_WIDTH
                # WCAG 2.2, 2.5.8: a target is at least 24 units wide unless spaced.
                assert tile.width >= 20 if tile.kind == "turn" else tile.width >= 24

    @given(st.lists(st.sampled_from([0, 1, 2]), min_size=2, max_size=24))
    def test_words_over_lost_moves_do_not_touch_and_stay_in_the_picture(
        self, losses: list[int]
    ) -> None:
        """“lost 1” is up to 40 units wide and 9 high, as it is set at 11.5 (measured)."""
        rows, left = [], 5
        for n, loss in enumerate(losses):
            left = max(min(left - 1 + loss, 8), 0)
            rows.append(LedgerRow(f"t{n}", 1, left, loss))
        for flight in staircase(rows, 5, name="The plan").flights:
            told = [tile for tile in flight.tiles if tile.loss_label]
            assert all(tile.loss_label == f"lost {rows[tile.step - 1].loss}" for tile in told)
            assert all(tile.loss_y >= 9 for tile in told)
            for one, other in itertools.pairwise(told):
                assert other.middle - one.middle > 43 or abs(other.loss_y - one.loss_y) > 10

    def test_the_dotted_line_comes_down_a_level_with_every_move(self) -> None:
        stairs = staircase(LOST, 3, shortest=3, name="The plan")
        points = [tuple(map(float, p.split(","))) for p in stairs.flights[0].quiet[0].split()]
        floor = stairs.flights[0].levels[0].y1
        assert points[0][1] < floor
        assert points[-1][1] == floor
        assert [y for _, y in points] == sorted(y for _, y in points)

    def test_words_say_the_same_as_the_picture(self) -> None:
        said = staircase(LOST, 3, shortest=3, name="The plan").description
        assert "Starts 3 moves from solved." in said
        assert "z2: turns the cube, costs nothing, 3 left." in said
        assert "R: lost 2 moves, 4 left." in said
        assert "a shortest solution, 3 moves" in said


class TestNet:
    def test_every_sticker_has_a_colour_a_letter_and_a_place_of_its_own(self) -> None:
        drawn = draw_net(net("R U F2 D' L B"))
        assert len(drawn.stickers) == 54
        assert len({(s.x, s.y) for s in drawn.stickers}) == 54
        assert all(s.letter == s.colour[0] and s.letter.islower() for s in drawn.stickers)
        assert sorted(s.colour for s in drawn.stickers) == sorted(
            colour for colour in ("white", "yellow", "green", "blue", "red", "orange") * 9
        )

    def test_only_white_goes_without_a_pattern(self) -> None:
        assert {s.colour for s in draw_net(net("R")).stickers if not s.woven} == {"white"}

    def test_the_faces_stand_around_the_front(self) -> None:
        # WCA 4d1: white on top, green in front.
        drawn = draw_net(net("R R'"))
        centres = {s.colour: (s.x, s.y) for s in drawn.stickers[4::9]}
        front_x, front_y = centres["green"]
        assert centres["white"][0] == front_x
        assert centres["white"][1] < front_y < centres["yellow"][1]
        assert centres["orange"][0] < front_x < centres["red"][0] < centres["blue"][0]

    def test_the_words_and_the_code_name_all_stickers(self) -> None:
        faces = net("F")
        assert draw_net(faces).description.startswith("top: white white white; ")
        assert len(net_code(faces)) == 54

    def test_a_wrong_net_is_refused(self) -> None:
        good = {face: ["white"] * 9 for face in FACES}
        with pytest.raises(ValueError, match="8 stickers"):
            draw_net(good | {"F": ["white"] * 8})
        with pytest.raises(ValueError, match="pink"):
            draw_net(good | {"F": ["pink"] * 9})


# Where a turn takes the stickers that the picture shows: on the front (R, L, U, D), on the top
# (B). Common practice, from memory; WCA 12a says "clockwise" as seen from the face.
WAYS = {"R": (0, -1), "L": (0, 1), "U": (-1, 0), "D": (1, 0), "B": (-1, 0), "F": (1, 0)}


class TestTurns:
    @pytest.mark.parametrize("letter", list(WAYS))
    def test_the_arrow_goes_the_way_of_the_turn(self, letter: str) -> None:
        for suffix, sign in (("", 1), ("'", -1)):
            points = [
                tuple(map(float, p.split(","))) for p in draw_turn(letter + suffix).shaft.split()
            ]
            dx, dy = WAYS[letter]
            if dx:
                # The long stretch across the front or the top.
                pairs = list(itertools.pairwise(points))
                a, b = max(pairs, key=lambda pair: abs(pair[1][0] - pair[0][0]))
                assert (b[0] - a[0]) * dx * sign > 0
            else:
                assert (points[-1][1] - points[0][1]) * dy * sign > 0

    def test_the_net_agrees_with_the_arrow_of_each_turn(self) -> None:
        # R takes the front's right column to the top; U takes the front's top row to the left.
        assert net("R")["U"][2::3] == ("green",) * 3
        assert net("U")["L"][:3] == ("green",) * 3
        assert net("L'")["U"][0::3] == ("green",) * 3
        assert net("D")["R"][6:] == ("green",) * 3

    def test_what_moves_is_counted(self) -> None:
        moving = {t: sum(c.moving for c in draw_turn(t).cells) for t in ("R", "F", "M", "Rw", "x")}
        # Of the 27 visible squares: R has its face and a column on two others.
        assert moving == {"R": 15, "F": 15, "M": 6, "Rw": 21, "x": 27}

    def test_every_token_of_the_standard_and_the_slices_has_a_picture(self) -> None:
        for text in [
            "U",
            "R",
            "F",
            "D",
            "L",
            "B",
            "Uw",
            "Rw",
            "Fw",
            "Dw",
            "Lw",
            "Bw",
            "x",
            "y",
            "z",
            "M",
            "E",
            "S",
        ]:
            for suffix in ("", "'", "2"):
                assert str(parse(text + suffix)[0]) == draw_turn(text + suffix).token

    def test_a_half_turn_has_two_heads(self) -> None:
        assert [len(draw_turn(t).heads) for t in ("R", "R'", "R2")] == [1, 1, 2]

    def test_no_picture_for_what_is_no_move(self) -> None:
        with pytest.raises(KeyError):
            draw_turn("Q")


def test_bars_are_as_long_as_their_share() -> None:
    assert loss_bar(3, 12).width == pytest.approx(WIDTH / 4)
    assert loss_bar(0, 0).width == 0


def test_a_qr_code_has_its_three_finders_and_its_margin() -> None:
    # ISO/IEC 18004 (from memory): 7 by 7 finders in three corners, a margin of four squares.
    qr = draw_qr("https://club.example/join/abc/")
    dark = {tuple(map(int, part.split("h")[0].split())) for part in qr.path.split("M")[1:]}
    last = qr.side - 5
    for x, y in ((4, 4), (last, 4), (4, last)):
        assert (x, y) in dark
    assert min(x for x, _ in dark) == 4
    assert max(y for _, y in dark) == last
