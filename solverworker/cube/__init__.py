"""The cube in plain Python: notation, turns, holds, states, nets.

Nothing here needs numpy or compiled code, so any process may import it.

Words used throughout this package:

* a **face** is one of the letters ``U R F D L B``, numbered 0 to 5 in that
  order, so that ``face % 3`` is its axis and the opposite face is three away;
* a **turn** is a face turn, numbered ``3 * face + quarters - 1`` (0 to 17);
* a **hold** is one of the 24 ways of holding the cube, named by which centre
  stands where; a plan is a walk through holds and turns of centres' faces;
* a **token** is one written move.
"""
