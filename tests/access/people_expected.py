"""Who gets what of groups, lists of people, cards and homework for one: lines of `expected.py`."""

from __future__ import annotations

GET_PAGES = """
homework member         | in      403     403     ok      ok      no      403     403     403
homework foreign        | in      403     403     no      no      no      403     403     403
homework absent         | in      403     403     no      no      no      403     403     403
groups                  | in      403     403     ok      ok      no      403     403     403
people_list             | in      403     403     ok      ok      no      403     403     403
cards                   | in      403     403     ok      ok      no      403     403     403
"""

POST_PAGES = """
homework member         | 401     403     403     400     400     no      403     403     403
homework foreign        | 401     403     403     no      no      no      403     403     403
homework absent         | 401     403     403     no      no      no      403     403     403
groups                  | 401     403     403     on      on      no      403     403     403
people_list             | 401     403     403     400     400     no      403     403     403
cards                   | 401     403     403     400     400     no      403     403     403
"""

GET_API = """
groups                  | 401     403     403     ok      ok      no      403     403     403
group absent            | 401     403     403     405     405     no      403     403     403
group foreign           | 401     403     403     405     405     no      403     403     403
group real              | 401     403     403     405     405     no      403     403     403
move-members            | 401     403     403     405     405     no      403     403     403
paste-people            | 401     403     403     405     405     no      403     403     403
"""

POST_API = """
groups                  | 401     403     403     400     400     no      403     403     403
group absent            | 401     403     403     no      no      no      403     403     403
group foreign           | 401     403     403     no      no      no      403     403     403
group real              | 401     403     403     ok      ok      no      403     403     403
move-members            | 401     403     403     400     400     no      403     403     403
paste-people            | 401     403     403     400     400     no      403     403     403
"""
