"""Techniques the long way round, on a cube of numbered stickers.

Written from the definitions anew. A state is four sticker places (as in
:mod:`tests.reference.cross_graph`): an edge is in the base when its bottom
sticker lies on the bottom face; its need is found by searching.
"""

from __future__ import annotations

from functools import cache

from tests.reference.cross_graph import FACE_TURNS, HOMES, PLACES

AXIS = {"U": 0, "D": 0, "R": 1, "L": 1, "F": 2, "B": 2}
QUARTERS = {"": 1, "2": 2, "'": 3}


@cache
def needs() -> dict[int, int]:
    """Return the least number of face turns that bring each place's sticker to the bottom."""
    far = dict.fromkeys(HOMES, 0)
    for distance in range(1, 5):
        for place in PLACES:
            reached = {turn[place] for turn in FACE_TURNS.values()}
            if place not in far and any(far.get(goal) == distance - 1 for goal in reached):
                far[place] = distance
    return far


def tidied(turns: list[str]) -> list[dict[str, int]]:
    """Return moments as quarter turns by face, joined until nothing changes."""
    moments = [{turn[0]: QUARTERS[turn[1:]]} for turn in turns]
    changed = True
    while changed:
        changed = False
        for index in range(len(moments) - 1):
            one, two = moments[index], moments[index + 1]
            if one and two and AXIS[next(iter(one))] == AXIS[next(iter(two))]:
                joined = {f: (one.get(f, 0) + two.get(f, 0)) % 4 for f in {*one, *two}}
                moments[index : index + 2] = [{f: q for f, q in joined.items() if q}]
                changed = True
                break
        if any(not moment for moment in moments):
            moments = [moment for moment in moments if moment]
            changed = True
    return moments


def moved(state: tuple[int, ...], face: str, quarters: int) -> tuple[int, ...]:
    """Return the state after a turn."""
    turn = FACE_TURNS[face + {1: "", 2: "2", 3: "'"}[quarters]]
    return tuple(turn[place] for place in state)


def techniques(state: tuple[int, ...], turns: list[str]) -> set[str]:
    """Return the techniques that turns (by name), which must solve the state, use."""
    moments = tidied(turns)
    events: list[tuple[int, str, tuple[int, ...], tuple[int, ...]]] = []
    at_end = [state]
    for number, moment in enumerate(moments, start=1):
        for face, quarters in moment.items():
            after = moved(state, face, quarters)
            events.append((number, face, state, after))
            state = after
        at_end.append(state)
    assert state == HOMES

    def settles(edge: int) -> int:
        return min(m for m in range(len(at_end)) if all(end[edge] in HOMES for end in at_end[m:]))

    settle = [settles(edge) for edge in range(4)]

    def off_centre(moment: int) -> bool:
        """Whether the settled edges stand elsewhere than home; they share one offset."""
        offsets = {
            (HOMES.index(at_end[moment][edge]) - edge) % 4
            for edge in range(4)
            if settle[edge] <= moment
        }
        assert len(offsets) == 1
        return offsets != {0}

    found = set()
    order = sorted(settle)
    if order[0] > 0 and order[1] == order[0]:
        if off_centre(order[0]):
            found.add("relative_build")
    else:
        later = [m for m in order if m > order[0]]
        if later and off_centre(order[0]) and off_centre(later[0] - 1):
            found.add("relative_build")

    for number, face, before, after in events:
        if face == "D":
            if sum(m < number for m in settle) in (1, 2, 3):
                found.add("base_turn")
        elif sum(needs()[a] < needs()[b] for b, a in zip(before, after, strict=True)) > 1:
            found.add("shared_turn")

    for index, (out_at, face, before, after) in enumerate(events):
        same = [event for event in events[index + 1 :] if event[1] == face]
        if face in "UD" or not same:
            continue
        back_at, _, before_back, after_back = same[0]
        for edge in range(4):
            if (
                before[edge] in HOMES
                and after[edge] not in HOMES
                and before_back[edge] not in HOMES
                and after_back[edge] in HOMES
            ):
                between = set(range(out_at + 1, back_at))
                others = {settle[other] for other in range(4) if other != edge}
                base_turns = {number for number, other, _, _ in events if other == "D"}
                if others & between and not base_turns & between:
                    found.add("flipped_insert")
                else:
                    found.add("step_aside")
    return found
