"""Who gets what of the API; how to read it stands in ``expected.py``."""

GET_API = """
                        | out     member  second  coach   rival   far     gone    child   waiting
browse                  | ok
document                | ok
problems                | ok
problem real            | ok
problem wrong           | no
tokens                  | 405
current-token           | 401     405     405     405     405     405     405     405     405
me                      | 401     ok      ok      ok      ok      ok      ok      ok      ok
sets-now                | 401     ok      ok      ok      ok      no      403     403     403
own-sets                | 401     ok      ok      ok      ok      no      403     403     403
every-set               | 401     ok      ok      ok      ok      no      403     403     403
set open                | 401     ok      ok      ok      ok      no      403     403     403
set closed              | 401     ok      ok      ok      ok      no      403     403     403
set unopened            | 401     no      no      no      no      no      403     403     403
set practice            | 401     ok      no      no      no      no      403     403     403
set foreign             | 401     no      no      no      no      no      403     403     403
set absent              | 401     no      no      no      no      no      403     403     403
afterwards open         | 401     405     405     405     405     no      403     403     403
afterwards closed       | 401     405     405     405     405     no      403     403     403
afterwards unopened     | 401     405     405     405     405     no      403     403     403
afterwards practice     | 401     405     405     405     405     no      403     403     403
afterwards foreign      | 401     405     405     405     405     no      403     403     403
afterwards absent       | 401     405     405     405     405     no      403     403     403
set-table open          | 401     ok      ok      ok      ok      no      403     403     403
set-table closed        | 401     ok      ok      ok      ok      no      403     403     403
set-table unopened      | 401     no      no      no      no      no      403     403     403
set-table practice      | 401     no      no      no      no      no      403     403     403
set-table foreign       | 401     no      no      no      no      no      403     403     403
set-table absent        | 401     no      no      no      no      no      403     403     403
timed-plans open        | 401     ok      ok      ok      ok      no      403     403     403
timed-plans closed      | 401     ok      ok      ok      ok      no      403     403     403
timed-plans unopened    | 401     no      no      no      no      no      403     403     403
timed-plans practice    | 401     no      no      no      no      no      403     403     403
timed-plans foreign     | 401     no      no      no      no      no      403     403     403
timed-plans absent      | 401     no      no      no      no      no      403     403     403
own-plan open           | 401     ok      no      no      no      no      403     403     403
own-plan closed         | 401     ok      ok      no      no      no      403     403     403
own-plan unopened       | 401     no      no      no      no      no      403     403     403
own-plan practice       | 401     ok      no      no      no      no      403     403     403
own-plan foreign        | 401     no      no      no      no      no      403     403     403
own-plan absent         | 401     no      no      no      no      no      403     403     403
day-table               | 401     ok      ok      ok      ok      no      403     403     403
week-table              | 401     ok      ok      ok      ok      no      403     403     403
all-time-table          | 401     ok      ok      ok      ok      no      403     403     403
progress                | 401     ok      ok      ok      ok      no      403     403     403
coach-overview          | 401     403     403     ok      ok      no      403     403     403
coach-set open          | 401     403     403     ok      ok      no      403     403     403
coach-set closed        | 401     403     403     ok      ok      no      403     403     403
coach-set unopened      | 401     403     403     no      no      no      403     403     403
coach-set practice      | 401     403     403     no      no      no      403     403     403
coach-set foreign       | 401     403     403     no      no      no      403     403     403
coach-set absent        | 401     403     403     no      no      no      403     403     403
corrections             | 401     403     403     ok      ok      no      403     403     403
undo-correction absent  | 401     403     403     405     405     no      403     403     403
member-progress member  | 401     403     403     ok      ok      no      403     403     403
member-progress foreign | 401     403     403     no      no      no      403     403     403
member-progress absent  | 401     403     403     no      no      no      403     403     403
my-data                 | 401     ok      ok      ok      ok      ok      ok      ok      ok
member-data member      | 401     403     403     ok      ok      no      403     403     403
member-data foreign     | 401     403     403     no      no      no      403     403     403
member-data absent      | 401     403     403     no      no      no      403     403     403
log                     | 401     403     403     403     403     no      403     403     403
improvements            | 401     ok      ok      ok      ok      no      403     403     403
coach-improvements      | 401     403     403     ok      ok      no      403     403     403
idea-lesson real        | 401     403     403     ok      ok      no      403     403     403
idea-lesson wrong       | 401     403     403     no      no      no      403     403     403
habit-lesson real       | 401     403     403     ok      ok      no      403     403     403
habit-lesson wrong      | 401     403     403     no      no      no      403     403     403
group-review            | 401     403     403     ok      ok      no      403     403     403
"""

POST_API = """
                        | out     member  second  coach   rival   far     gone    child   waiting
browse                  | 405
document                | 405
problems                | 405
problem real            | 405
problem wrong           | 405
tokens                  | 400
current-token           | 401     405     405     405     405     405     405     405     405
me                      | 401     405     405     405     405     405     405     405     405
sets-now                | 401     405     405     405     405     no      403     403     403
own-sets                | 401     405     405     405     405     no      403     403     403
every-set               | 401     405     405     405     405     no      403     403     403
set open                | 401     405     405     405     405     no      403     403     403
set closed              | 401     405     405     405     405     no      403     403     403
set unopened            | 401     405     405     405     405     no      403     403     403
set practice            | 401     405     405     405     405     no      403     403     403
set foreign             | 401     405     405     405     405     no      403     403     403
set absent              | 401     405     405     405     405     no      403     403     403
afterwards open         | 401     409     409     409     409    no      403     403     403
afterwards closed       | 401     ok      ok      ok      ok      no      403     403     403
afterwards unopened     | 401     no      no      no      no      no      403     403     403
afterwards practice     | 401     409     no      no      no      no      403     403     403
afterwards foreign      | 401     no      no      no      no      no      403     403     403
afterwards absent       | 401     no      no      no      no      no      403     403     403
set-table open          | 401     405     405     405     405     no      403     403     403
set-table closed        | 401     405     405     405     405     no      403     403     403
set-table unopened      | 401     405     405     405     405     no      403     403     403
set-table practice      | 401     405     405     405     405     no      403     403     403
set-table foreign       | 401     405     405     405     405     no      403     403     403
set-table absent        | 401     405     405     405     405     no      403     403     403
timed-plans open        | 401     405     405     405     405     no      403     403     403
timed-plans closed      | 401     405     405     405     405     no      403     403     403
timed-plans unopened    | 401     405     405     405     405     no      403     403     403
timed-plans practice    | 401     405     405     405     405     no      403     403     403
timed-plans foreign     | 401     405     405     405     405     no      403     403     403
timed-plans absent      | 401     405     405     405     405     no      403     403     403
own-plan open           | 401     409     ok      ok      ok      no      403     403     403
own-plan closed         | 401     409     409     409     409     no      403     403     403
own-plan unopened       | 401     no      no      no      no      no      403     403     403
own-plan practice       | 401     409     no      no      no      no      403     403     403
own-plan foreign        | 401     no      no      no      no      no      403     403     403
own-plan absent         | 401     no      no      no      no      no      403     403     403
day-table               | 401     405     405     405     405     no      403     403     403
week-table              | 401     405     405     405     405     no      403     403     403
all-time-table          | 401     405     405     405     405     no      403     403     403
progress                | 401     405     405     405     405     no      403     403     403
coach-overview          | 401     403     403     405     405     no      403     403     403
coach-set open          | 401     403     403     405     405     no      403     403     403
coach-set closed        | 401     403     403     405     405     no      403     403     403
coach-set unopened      | 401     403     403     405     405     no      403     403     403
coach-set practice      | 401     403     403     405     405     no      403     403     403
coach-set foreign       | 401     403     403     405     405     no      403     403     403
coach-set absent        | 401     403     403     405     405     no      403     403     403
corrections             | 401     403     403     400     400     no      403     403     403
undo-correction absent  | 401     403     403     400     400     no      403     403     403
member-progress member  | 401     403     403     405     405     no      403     403     403
member-progress foreign | 401     403     403     405     405     no      403     403     403
member-progress absent  | 401     403     403     405     405     no      403     403     403
my-data                 | 401     405     405     405     405     405     405     405     405
member-data member      | 401     403     403     405     405     no      403     403     403
member-data foreign     | 401     403     403     405     405     no      403     403     403
member-data absent      | 401     403     403     405     405     no      403     403     403
log                     | 401     405     405     405     405     no      403     403     403
improvements            | 401     405     405     405     405     no      403     403     403
coach-improvements      | 401     403     403     405     405     no      403     403     403
idea-lesson real        | 401     403     403     405     405     no      403     403     403
idea-lesson wrong       | 401     403     403     405     405     no      403     403     403
habit-lesson real       | 401     403     403     405     405     no      403     403     403
habit-lesson wrong      | 401     403     403     405     405     no      403     403     403
group-review            | 401     403     403     405     405     no      403     403     403
"""

DELETE_API = """
                        | out     member  second  coach   rival   far     gone    child   waiting
current-token           | 401     ok      ok      ok      ok      ok      ok      ok      ok
"""
