"""Who gets what: the one table of access, read by ``test_who_gets_in.py``.

A line is an address by its name, with what it is about: a set that is *open*, *closed*, still
*unopened*, a member's *practice*, of a *foreign* club or *absent*; a link that is *real* or
*wrong*. A column is a viewer (see ``world.py``). One word alone is said to everybody.

``ok``: answered (200, 201, 204). ``no``: 404, to the byte what is absent. ``in``: sent to sign in.
``on``: sent on to another page. Other answers stand as their status: 400 for a form of somebody
who may send it and has left things out, 401 signed out, 403 known and refused in words, 405 not
that method, 409 the set has closed or a plan is in, 410 a link that is used up, 503 no
worker was ever heard here.
"""

from tests.access import challenges_expected as challenges
from tests.access import people_expected as people
from tests.access import weeks_expected as weeks
from tests.access.expected_api import DELETE_API, GET_API, POST_API

GET_PAGES = """
                        | out     member  second  coach   rival   far     gone    child   waiting
first                   | ok      on      on      on      on      on      ok      ok      ok
notation                | ok
guide                   | ok
guide_coach             | ok
guide_parents           | ok
health                  | 503
metrics                 | no
sign_in                 | ok      on      on      on      on      on      on      on      on
sign_out                | 405
code                    | ok
devices                 | in      ok      ok      ok      ok      ok      ok      ok      ok
phrase                  | in      ok      ok      ok      ok      ok      ok      ok      ok
join real               | ok
join wrong              | 410
start real              | ok
start wrong             | 410
calendar_file real      | ok
calendar_file wrong     | no
calendar                | in      ok      ok      ok      ok      no      403     403     403
today                   | in      ok      ok      ok      ok      no      403     403     403
set open                | in      ok      ok      ok      ok      no      403     403     403
set closed              | in      ok      ok      ok      ok      no      403     403     403
set unopened            | in      no      no      no      no      no      403     403     403
set practice            | in      ok      no      no      no      no      403     403     403
set foreign             | in      no      no      no      no      no      403     403     403
set absent              | in      no      no      no      no      no      403     403     403
scramble open           | in      ok      ok      ok      ok      no      403     403     403
scramble closed         | in      ok      ok      ok      ok      no      403     403     403
scramble unopened       | in      no      no      no      no      no      403     403     403
scramble practice       | in      ok      no      no      no      no      403     403     403
scramble foreign        | in      no      no      no      no      no      403     403     403
scramble absent         | in      no      no      no      no      no      403     403     403
echo open               | 405
echo closed             | 405
echo unopened           | 405
echo practice           | 405
echo foreign            | 405
echo absent             | 405
inspect open            | in      on      ok      ok      ok      no      403     403     403
inspect closed          | in      on      on      on      on      no      403     403     403
inspect unopened        | in      no      no      no      no      no      403     403     403
inspect practice        | in      on      no      no      no      no      403     403     403
inspect foreign         | in      no      no      no      no      no      403     403     403
inspect absent          | in      no      no      no      no      no      403     403     403
write open              | in      on      ok      ok      ok      no      403     403     403
write closed            | in      on      on      on      on      no      403     403     403
write unopened          | in      no      no      no      no      no      403     403     403
write practice          | in      on      no      no      no      no      403     403     403
write foreign           | in      no      no      no      no      no      403     403     403
write absent            | in      no      no      no      no      no      403     403     403
read_back open          | in      on      on      on      on      no      403     403     403
read_back closed        | in      on      on      on      on      no      403     403     403
read_back unopened      | in      no      no      no      no      no      403     403     403
read_back practice      | in      on      no      no      no      no      403     403     403
read_back foreign       | in      no      no      no      no      no      403     403     403
read_back absent        | in      no      no      no      no      no      403     403     403
table                   | in      on      on      on      on      no      403     403     403
table_day               | in      ok      ok      ok      ok      no      403     403     403
table_week              | in      ok      ok      ok      ok      no      403     403     403
table_all               | in      ok      ok      ok      ok      no      403     403     403
earlier                 | in      ok      ok      ok      ok      no      403     403     403
table_set open          | in      ok      ok      ok      ok      no      403     403     403
table_set closed        | in      ok      ok      ok      ok      no      403     403     403
table_set unopened      | in      no      no      no      no      no      403     403     403
table_set practice      | in      no      no      no      no      no      403     403     403
table_set foreign       | in      no      no      no      no      no      403     403     403
table_set absent        | in      no      no      no      no      no      403     403     403
progress                | in      ok      ok      ok      ok      no      403     403     403
plans                   | in      ok      ok      ok      ok      no      403     403     403
practice                | in      ok      ok      ok      ok      no      403     403     403
coach                   | in      403     403     ok      ok      no      403     403     403
coach_set open          | in      403     403     ok      ok      no      403     403     403
coach_set closed        | in      403     403     ok      ok      no      403     403     403
coach_set unopened      | in      403     403     no      no      no      403     403     403
coach_set practice      | in      403     403     no      no      no      403     403     403
coach_set foreign       | in      403     403     no      no      no      403     403     403
coach_set absent        | in      403     403     no      no      no      403     403     403
correct_set open        | in      403     403     ok      ok      no      403     403     403
correct_set closed      | in      403     403     ok      ok      no      403     403     403
correct_set unopened    | in      403     403     no      no      no      403     403     403
correct_set practice    | in      403     403     no      no      no      403     403     403
correct_set foreign     | in      403     403     no      no      no      403     403     403
correct_set absent      | in      403     403     no      no      no      403     403     403
corrections             | in      403     403     ok      ok      no      403     403     403
coach_plan open         | in      403     403     ok      no      no      403     403     403
coach_plan closed       | in      403     403     ok      ok      no      403     403     403
coach_plan practice     | in      403     403     no      no      no      403     403     403
coach_plan foreign      | in      403     403     no      no      no      403     403     403
coach_plan absent       | in      403     403     no      no      no      403     403     403
coach_member member     | in      403     403     ok      ok      no      403     403     403
coach_member foreign    | in      403     403     no      no      no      403     403     403
coach_member absent     | in      403     403     no      no      no      403     403     403
coach_member_plans member| in      403     403     ok      ok      no      403     403     403
coach_member_plans foreign| in      403     403     no      no      no      403     403     403
coach_member_plans absent| in      403     403     no      no      no      403     403     403
coach_review            | in      403     403     ok      ok      no      403     403     403
coach_review_csv        | in      403     403     ok      ok      no      403     403     403
lesson real             | in      403     403     ok      ok      no      403     403     403
lesson wrong            | in      403     403     no      no      no      403     403     403
people                  | in      403     403     ok      ok      no      403     403     403
person member           | 405
person foreign          | 405
person absent           | 405
manifest                | ok
offline                 | ok
service_worker          | ok
privacy                 | ok
own_data                | in      ok      ok      ok      ok      ok      ok      ok      ok
erase_own               | in      ok      ok      ok      ok      ok      ok      ok      ok
member member           | in      403     403     ok      ok      no      403     403     403
member foreign          | in      403     403     no      no      no      403     403     403
member absent           | in      403     403     no      no      no      403     403     403
member_data member      | in      403     403     ok      ok      no      403     403     403
member_data foreign     | in      403     403     no      no      no      403     403     403
member_data absent      | in      403     403     no      no      no      403     403     403
erase_member member     | in      403     403     ok      ok      no      403     403     403
erase_member foreign    | in      403     403     no      no      no      403     403     403
erase_member absent     | in      403     403     no      no      no      403     403     403
log                     | in      403     403     403     403     no      403     403     403
export                  | in      403     403     403     403     no      403     403     403
hooks                   | in      403     403     403     403     no      403     403     403
settings                | in      403     403     ok      ok      no      403     403     403
new_series              | in      403     403     ok      ok      no      403     403     403
series real             | in      403     403     ok      ok      no      403     403     403
series foreign          | in      403     403     no      no      no      403     403     403
planner                 | in      403     403     ok      ok      no      403     403     403
planner_week            | in      403     403     ok      ok      no      403     403     403
planner_day             | in      403     403     ok      ok      no      403     403     403
planner_copy            | in      403     403     ok      ok      no      403     403     403
planner_set real        | in      403     403     ok      ok      no      403     403     403
planner_set foreign     | in      403     403     no      no      no      403     403     403
holidays                | in      403     403     ok      ok      no      403     403     403
site                    | in      403     403     403     403     no      403     403     403
"""

POST_PAGES = """
                        | out     member  second  coach   rival   far     gone    child   waiting
first                   | 405
notation                | 405
guide                   | 405
guide_coach             | 405
guide_parents           | 405
health                  | 503
metrics                 | 405
sign_in                 | 400     on      on      on      on      on      on      on      on
sign_out                | on
code                    | 400
devices                 | 401     on      on      on      on      on      on      on      on
phrase                  | in      400     400     400     400     400     400     400     400
join real               | ok
join wrong              | 410
start real              | 400
start wrong             | 410
calendar_file real      | 405
calendar_file wrong     | 405
calendar                | 401     ok      ok      ok      ok      no      403     403     403
today                   | 405
set open                | 401     409     409     409     409    no      403     403     403
set closed              | 401     on      on      on      on      no      403     403     403
set unopened            | 401     no      no      no      no      no      403     403     403
set practice            | 401     409     no      no      no      no      403     403     403
set foreign             | 401     no      no      no      no      no      403     403     403
set absent              | 401     no      no      no      no      no      403     403     403
scramble open           | 401     on      on      on      on      no      403     403     403
scramble closed         | 401     on      on      on      on      no      403     403     403
scramble unopened       | 401     no      no      no      no      no      403     403     403
scramble practice       | 401     on      no      no      no      no      403     403     403
scramble foreign        | 401     no      no      no      no      no      403     403     403
scramble absent         | 401     no      no      no      no      no      403     403     403
echo open               | 401     ok      ok      ok      ok      no      403     403     403
echo closed             | 401     ok      ok      ok      ok      no      403     403     403
echo unopened           | 401     no      no      no      no      no      403     403     403
echo practice           | 401     ok      no      no      no      no      403     403     403
echo foreign            | 401     no      no      no      no      no      403     403     403
echo absent             | 401     no      no      no      no      no      403     403     403
inspect open            | 401     on      on      on      on      no      403     403     403
inspect closed          | 401     on      on      on      on      no      403     403     403
inspect unopened        | 401     no      no      no      no      no      403     403     403
inspect practice        | 401     on      no      no      no      no      403     403     403
inspect foreign         | 401     no      no      no      no      no      403     403     403
inspect absent          | 401     no      no      no      no      no      403     403     403
write open              | 405
write closed            | 405
write unopened          | 405
write practice          | 405
write foreign           | 405
write absent            | 405
read_back open          | 405
read_back closed        | 405
read_back unopened      | 405
read_back practice      | 405
read_back foreign       | 405
read_back absent        | 405
table                   | 405
table_day               | 405
table_week              | 405
table_all               | 405
earlier                 | 405
table_set open          | 405
table_set closed        | 405
table_set unopened      | 405
table_set practice      | 405
table_set foreign       | 405
table_set absent        | 405
progress                | 405
plans                   | 405
practice                | 401     on      on      on      on      no      403     403     403
coach                   | 405
coach_set open          | 405
coach_set closed        | 405
coach_set unopened      | 405
coach_set practice      | 405
coach_set foreign       | 405
coach_set absent        | 405
correct_set open        | 401     403     403     400     400     no      403     403     403
correct_set closed      | 401     403     403     400     400     no      403     403     403
correct_set unopened    | 401     403     403     no      no      no      403     403     403
correct_set practice    | 401     403     403     no      no      no      403     403     403
correct_set foreign     | 401     403     403     no      no      no      403     403     403
correct_set absent      | 401     403     403     no      no      no      403     403     403
corrections             | 401     403     403     400     400     no      403     403     403
coach_plan open         | 401     403     403     400     no      no      403     403     403
coach_plan closed       | 401     403     403     400     400     no      403     403     403
coach_plan practice     | 401     403     403     no      no      no      403     403     403
coach_plan foreign      | 401     403     403     no      no      no      403     403     403
coach_plan absent       | 401     403     403     no      no      no      403     403     403
coach_member member     | 405
coach_member foreign    | 405
coach_member absent     | 405
coach_member_plans member| 405
coach_member_plans foreign| 405
coach_member_plans absent| 405
coach_review            | 405
coach_review_csv        | 405
lesson real             | 401     403     403     400     400     no      403     403     403
lesson wrong            | 401     403     403     no      no      no      403     403     403
people                  | 401     403     403     400     400     no      403     403     403
person member           | 401     403     403     on      on      no      403     403     403
person foreign          | 401     403     403     no      no      no      403     403     403
person absent           | 401     403     403     no      no      no      403     403     403
manifest                | 405
offline                 | 405
service_worker          | 405
privacy                 | 405
own_data                | 401     400     400     400     400     400     400     400     400
erase_own               | 401     400     400     400     400     400     400     400     400
member member           | 401     403     403     400     400     no      403     403     403
member foreign          | 401     403     403     no      no      no      403     403     403
member absent           | 401     403     403     no      no      no      403     403     403
erase_member member     | 401     403     403     400     400     no      403     403     403
erase_member foreign    | 401     403     403     no      no      no      403     403     403
erase_member absent     | 401     403     403     no      no      no      403     403     403
member_data member      | 405
member_data foreign     | 405
member_data absent      | 405
log                     | 405
export                  | 401     403     403     403     403     no      403     403     403
hooks                   | 401     403     403     403     403     no      403     403     403
settings                | 401     403     403     400     400     no      403     403     403
new_series              | 401     403     403     400     400     no      403     403     403
series real             | 401     403     403     400     400     no      403     403     403
series foreign          | 401     403     403     no      no      no      403     403     403
planner                 | 405
planner_week            | 405
planner_day             | 401     403     403     400     400     no      403     403     403
planner_copy            | 401     403     403     409     409     no      403     403     403
planner_set real        | 401     403     403     400     400     no      403     403     403
planner_set foreign     | 401     403     403     no      no      no      403     403     403
holidays                | 401     403     403     400     400     no      403     403     403
site                    | 405
"""

TABLES = {
    "GET pages": GET_PAGES.strip() + challenges.GET_PAGES + people.GET_PAGES.lstrip("\n"),
    "POST pages": POST_PAGES.strip() + challenges.POST_PAGES + people.POST_PAGES.lstrip("\n"),
    "GET api": GET_API.strip()
    + challenges.GET_API
    + people.GET_API.lstrip("\n")
    + weeks.GET_API.lstrip("\n"),
    "POST api": POST_API.strip()
    + challenges.POST_API
    + people.POST_API.lstrip("\n")
    + weeks.POST_API.lstrip("\n"),
    "DELETE api": DELETE_API + weeks.DELETE_API.lstrip("\n"),
}
