"""Who gets what of series, weeks, posts, web hooks: lines of `expected.py`."""

from __future__ import annotations

GET_API = """
add-set                 | 401     403     403     405     405     no      403     403     403
all-series              | 401     403     403     ok      ok      no      403     403     403
challenge-post absent   | 401     no      no      no      no      no      403     403     403
challenge-post announced| 401     no      no      no      no      no      403     403     403
challenge-post foreign  | 401     no      no      no      no      no      403     403     403
challenge-post posted   | 401     ok      ok      ok      ok      no      403     403     403
challenge-words absent  | 401     403     403     no      no      no      403     403     403
challenge-words announced| 401     403     403     ok      ok      no      403     403     403
challenge-words foreign | 401     403     403     no      no      no      403     403     403
challenge-words posted  | 401     403     403     ok      ok      no      403     403     403
change-planned-set foreign| 401     403     403     405     405     no      403     403     403
change-planned-set real | 401     403     403     405     405     no      403     403     403
copy-week               | 401     403     403     405     405     no      403     403     403
hook absent             | 401     403     403     403     403     no      403     403     403
hook foreign            | 401     403     403     403     403     no      403     403     403
hook real               | 401     403     403     403     403     no      403     403     403
hook-deliveries absent  | 401     403     403     403     403     no      403     403     403
hook-deliveries foreign | 401     403     403     403     403     no      403     403     403
hook-deliveries real    | 401     403     403     403     403     no      403     403     403
hooks                   | 401     403     403     403     403     no      403     403     403
note-holidays           | 401     403     403     405     405     no      403     403     403
one-series foreign      | 401     403     403     no      no      no      403     403     403
one-series real         | 401     403     403     ok      ok      no      403     403     403
posts                   | 401     ok      ok      ok      ok      no      403     403     403
posts-address           | 401     403     403     403     403     no      403     403     403
renew-hook-secret absent| 401     403     403     403     403     no      403     403     403
renew-hook-secret foreign| 401     403     403     403     403     no      403     403     403
renew-hook-secret real  | 401     403     403     403     403     no      403     403     403
set-day-off             | 401     403     403     405     405     no      403     403     403
try-again absent foreign| 401     403     403     403     403     no      403     403     403
try-again absent real| 401     403     403     403     403     no      403     403     403
try-again foreign foreign| 401     403     403     403     403     no      403     403     403
try-again foreign real| 401     403     403     403     403     no      403     403     403
try-again real foreign| 401     403     403     403     403     no      403     403     403
try-again real real| 401     403     403     403     403     no      403     403     403
week                    | 401     403     403     ok      ok      no      403     403     403
"""

POST_API = """
add-set                 | 401     403     403     400     400     no      403     403     403
all-series              | 401     403     403     400     400     no      403     403     403
challenge-post absent   | 401     403     403     no      no      no      403     403     403
challenge-post announced| 401     403     403     409     409     no      403     403     403
challenge-post foreign  | 401     403     403     no      no      no      403     403     403
challenge-post posted   | 401     403     403     ok      ok      no      403     403     403
challenge-words absent  | 401     403     403     405     405     no      403     403     403
challenge-words announced| 401     403     403     405     405     no      403     403     403
challenge-words foreign | 401     403     403     405     405     no      403     403     403
challenge-words posted  | 401     403     403     405     405     no      403     403     403
change-planned-set foreign| 401     403     403     no      no      no      403     403     403
change-planned-set real | 401     403     403     400     400     no      403     403     403
copy-week               | 401     403     403     400     400     no      403     403     403
hook absent             | 401     403     403     403     403     no      403     403     403
hook foreign            | 401     403     403     403     403     no      403     403     403
hook real               | 401     403     403     403     403     no      403     403     403
hook-deliveries absent  | 401     403     403     403     403     no      403     403     403
hook-deliveries foreign | 401     403     403     403     403     no      403     403     403
hook-deliveries real    | 401     403     403     403     403     no      403     403     403
hooks                   | 401     403     403     403     403     no      403     403     403
note-holidays           | 401     403     403     400     400     no      403     403     403
one-series foreign      | 401     403     403     no      no      no      403     403     403
one-series real         | 401     403     403     ok      ok      no      403     403     403
posts                   | 401     405     405     405     405     no      403     403     403
posts-address           | 401     403     403     403     403     no      403     403     403
renew-hook-secret absent| 401     403     403     403     403     no      403     403     403
renew-hook-secret foreign| 401     403     403     403     403     no      403     403     403
renew-hook-secret real  | 401     403     403     403     403     no      403     403     403
set-day-off             | 401     403     403     400     400     no      403     403     403
try-again absent foreign| 401     403     403     403     403     no      403     403     403
try-again absent real| 401     403     403     403     403     no      403     403     403
try-again foreign foreign| 401     403     403     403     403     no      403     403     403
try-again foreign real| 401     403     403     403     403     no      403     403     403
try-again real foreign| 401     403     403     403     403     no      403     403     403
try-again real real| 401     403     403     403     403     no      403     403     403
week                    | 401     403     403     405     405     no      403     403     403
"""

DELETE_API = """
challenge absent        | 401     403     403     no      no      no      403     403     403
challenge announced     | 401     403     403     ok      ok      no      403     403     403
challenge foreign       | 401     403     403     no      no      no      403     403     403
challenge posted        | 401     403     403     409     409     no      403     403     403
hook absent             | 401     403     403     403     403     no      403     403     403
hook foreign            | 401     403     403     403     403     no      403     403     403
hook real               | 401     403     403     403     403     no      403     403     403
posts-address           | 401     403     403     403     403     no      403     403     403
season absent           | 401     403     403     no      no      no      403     403     403
season real             | 401     403     403     409     409     no      403     403     403
"""
