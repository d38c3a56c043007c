"""Who gets what of challenges, seasons, questions and posts: lines of `expected.py`."""

from __future__ import annotations

GET_PAGES = """
again absent            | in      no      no      no      no      no      403     403     403
again closed            | in      ok      ok      no      no      no      403     403     403
again foreign           | in      no      no      no      no      no      403     403     403
again open              | in      ok      no      no      no      no      403     403     403
again practice          | in      ok      no      no      no      no      403     403     403
again unopened          | in      no      no      no      no      no      403     403     403
ask absent              | in      no      no      no      no      no      403     403     403
ask closed              | in      ok      ok      ok      ok      no      403     403     403
ask foreign             | in      no      no      no      no      no      403     403     403
ask open                | in      ok      ok      ok      ok      no      403     403     403
ask practice            | in      ok      no      no      no      no      403     403     403
ask unopened            | in      no      no      no      no      no      403     403     403
challenge absent        | in      no      no      no      no      no      403     403     403
challenge announced     | in      ok      ok      ok      ok      no      403     403     403
challenge foreign       | in      no      no      no      no      no      403     403     403
challenge posted        | in      ok      ok      ok      ok      no      403     403     403
challenge_picture absent| in      403     403     no      no      no      403     403     403
challenge_picture announced| in      403     403     no      no      no      403     403     403
challenge_picture foreign| in      403     403     no      no      no      403     403     403
challenge_picture posted| in      403     403     ok      ok      no      403     403     403
challenge_post absent   | in      403     403     no      no      no      403     403     403
challenge_post announced| in      403     403     no      no      no      403     403     403
challenge_post foreign  | in      403     403     no      no      no      403     403     403
challenge_post posted   | in      403     403     ok      ok      no      403     403     403
challenge_sheet absent  | in      403     403     no      no      no      403     403     403
challenge_sheet announced| in      403     403     no      no      no      403     403     403
challenge_sheet foreign | in      403     403     no      no      no      403     403     403
challenge_sheet posted  | in      403     403     ok      ok      no      403     403     403
change_season absent    | in      403     403     no      no      no      403     403     403
change_season real      | in      403     403     ok      ok      no      403     403     403
challenges              | in      ok      ok      ok      ok      no      403     403     403
public_feed real        | ok
public_feed wrong       | no
public_picture real absent| no
public_picture real real| ok
public_picture wrong absent| no
public_picture wrong real| no
public_posts real       | ok
public_posts wrong      | no
questions               | in      403     403     ok      ok      no      403     403     403
season absent           | in      no      no      no      no      no      403     403     403
season real             | in      ok      ok      ok      ok      no      403     403     403
"""

POST_PAGES = """
again absent            | 401     no      no      no      no      no      403     403     403
again closed            | 401     400     400     no      no      no      403     403     403
again foreign           | 401     no      no      no      no      no      403     403     403
again open              | 401     400     no      no      no      no      403     403     403
again practice          | 401     400     no      no      no      no      403     403     403
again unopened          | 401     no      no      no      no      no      403     403     403
ask absent              | 401     no      no      no      no      no      403     403     403
ask closed              | 401     400     400     400     400     no      403     403     403
ask foreign             | 401     no      no      no      no      no      403     403     403
ask open                | 401     400     400     400     400     no      403     403     403
ask practice            | 401     400     no      no      no      no      403     403     403
ask unopened            | 401     no      no      no      no      no      403     403     403
challenge absent        | 401     no      no      no      no      no      403     403     403
challenge announced     | 401     403     403     400     400     no      403     403     403
challenge foreign       | 401     no      no      no      no      no      403     403     403
challenge posted        | 401     403     403     400     400     no      403     403     403
challenge_picture absent| 405
challenge_picture announced| 405
challenge_picture foreign| 405
challenge_picture posted| 405
challenge_post absent   | 401     403     403     no      no      no      403     403     403
challenge_post announced| 401     403     403     no      no      no      403     403     403
challenge_post foreign  | 401     403     403     no      no      no      403     403     403
challenge_post posted   | 401     403     403     on      on      no      403     403     403
challenge_sheet absent  | 405
challenge_sheet announced| 405
challenge_sheet foreign | 405
challenge_sheet posted  | 405
change_season absent    | 401     403     403     no      no      no      403     403     403
change_season real      | 401     403     403     400     400     no      403     403     403
challenges              | 401     403     403     400     400     no      403     403     403
public_feed real        | 405
public_feed wrong       | 405
public_picture real absent| 405
public_picture real real| 405
public_picture wrong absent| 405
public_picture wrong real| 405
public_posts real       | 405
public_posts wrong      | 405
questions               | 401     403     403     no      no      no      403     403     403
season absent           | 401     no      no      no      no      no      403     403     403
season real             | 401     403     403     409     403     no      403     403     403
"""

GET_API = """
answer-question absent  | 401     403     403     405     405     no      403     403     403
answer-question real    | 401     403     403     405     405     no      403     403     403
challenge absent        | 401     no      no      no      no      no      403     403     403
challenge announced     | 401     ok      ok      ok      ok      no      403     403     403
challenge foreign       | 401     no      no      no      no      no      403     403     403
challenge posted        | 401     ok      ok      ok      ok      no      403     403     403
challenges              | 401     ok      ok      ok      ok      no      403     403     403
confirm-challenge absent| 401     403     403     405     405     no      403     403     403
confirm-challenge announced| 401     403     403     405     405     no      403     403     403
confirm-challenge foreign| 401     403     403     405     405     no      403     403     403
confirm-challenge posted| 401     403     403     405     405     no      403     403     403
confirm-season absent   | 401     403     403     405     405     no      403     403     403
confirm-season real     | 401     403     403     405     405     no      403     403     403
own-questions absent    | 401     no      no      no      no      no      403     403     403
own-questions closed    | 401     ok      ok      ok      ok      no      403     403     403
own-questions foreign   | 401     no      no      no      no      no      403     403     403
own-questions open      | 401     ok      ok      ok      ok      no      403     403     403
own-questions practice  | 401     ok      no      no      no      no      403     403     403
own-questions unopened  | 401     no      no      no      no      no      403     403     403
questions               | 401     403     403     ok      ok      no      403     403     403
season absent           | 401     no      no      no      no      no      403     403     403
season real             | 401     ok      ok      ok      ok      no      403     403     403
seasons                 | 401     ok      ok      ok      ok      no      403     403     403
"""

POST_API = """
answer-question absent  | 401     403     403     no      no      no      403     403     403
answer-question real    | 401     403     403     400     400     no      403     403     403
challenge absent        | 401     405     405     405     405     no      403     403     403
challenge announced     | 401     405     405     405     405     no      403     403     403
challenge foreign       | 401     405     405     405     405     no      403     403     403
challenge posted        | 401     405     405     405     405     no      403     403     403
challenges              | 401     403     403     400     400     no      403     403     403
confirm-challenge absent| 401     403     403     no      no      no      403     403     403
confirm-challenge announced| 401     403     403     409     403     no      403     403     403
confirm-challenge foreign| 401     403     403     no      no      no      403     403     403
confirm-challenge posted| 401     403     403     409     403     no      403     403     403
confirm-season absent   | 401     403     403     no      no      no      403     403     403
confirm-season real     | 401     403     403     409     403     no      403     403     403
own-questions absent    | 401     no      no      no      no      no      403     403     403
own-questions closed    | 401     400     400     400     400     no      403     403     403
own-questions foreign   | 401     no      no      no      no      no      403     403     403
own-questions open      | 401     400     400     400     400     no      403     403     403
own-questions practice  | 401     400     no      no      no      no      403     403     403
own-questions unopened  | 401     no      no      no      no      no      403     403     403
questions               | 401     403     403     405     405     no      403     403     403
season absent           | 401     403     403     no      no      no      403     403     403
season real             | 401     403     403     ok      ok      no      403     403     403
seasons                 | 401     403     403     400     400     no      403     403     403
"""
