"""Addresses of the pages."""

from django.urls import path

from training import converters  # noqa: F401 - registers itself
from training.web.pages.again import views as again
from training.web.pages.ask import views as ask
from training.web.pages.attempt import views as attempt
from training.web.pages.calendar import views as calendar
from training.web.pages.challenge import views as challenge
from training.web.pages.challenge_post import views as challenge_post
from training.web.pages.challenges import views as challenges
from training.web.pages.coach_day import views as coach_day
from training.web.pages.coach_plan import views as coach_plan
from training.web.pages.corrections import views as corrections
from training.web.pages.devices import views as devices
from training.web.pages.earlier import views as earlier
from training.web.pages.erasing import views as erasing
from training.web.pages.export import views as export
from training.web.pages.first import views as first
from training.web.pages.groups import views as groups
from training.web.pages.guide import views as guide
from training.web.pages.homework import views as homework
from training.web.pages.hooks import views as hooks
from training.web.pages.joining import views as joining
from training.web.pages.lesson import views as lesson
from training.web.pages.log import views as log
from training.web.pages.member import views as member
from training.web.pages.my_plans import views as my_plans
from training.web.pages.notation import views as notation
from training.web.pages.offline import views as offline
from training.web.pages.one_set import views as one_set
from training.web.pages.own_data import views as own_data
from training.web.pages.people import views as people
from training.web.pages.people_list import views as people_list
from training.web.pages.planner import views as planner
from training.web.pages.practice import views as practice
from training.web.pages.privacy import views as privacy
from training.web.pages.progress import views as progress
from training.web.pages.public_posts import views as public_posts
from training.web.pages.questions import views as questions
from training.web.pages.review import views as review
from training.web.pages.season import views as season
from training.web.pages.series import views as series
from training.web.pages.settings import views as settings
from training.web.pages.sign_in import views as sign_in
from training.web.pages.site import views as site
from training.web.pages.table import views as table
from training.web.pages.today import views as today
from training.web.scramble_address import scramble

_SET = "c/<slug:slug>/sets/<int:set_id>/"
_CHALLENGE = "c/<slug:slug>/challenges/<int:challenge_id>/"

urlpatterns = [
    path("", first.first, name="first"),
    path("notation/", notation.notation, name="notation"),
    path("guide/", guide.for_members, name="guide"),
    path("guide/coaches/", guide.for_coaches, name="guide_coach"),
    path("guide/parents/", guide.for_parents, name="guide_parents"),
    path("privacy/", privacy.privacy, name="privacy"),
    path("manifest.webmanifest", offline.manifest, name="manifest"),
    path("service-worker.js", offline.service_worker, name="service_worker"),
    path("offline/", offline.offline, name="offline"),
    path("data/", own_data.own_data, name="own_data"),
    path("data/erase/", erasing.own, name="erase_own"),
    path("sign-in/", sign_in.sign_in, name="sign_in"),
    path("sign-out/", sign_in.sign_out, name="sign_out"),
    path("code/", sign_in.code, name="code"),
    path("devices/", devices.devices, name="devices"),
    path("phrase/", sign_in.phrase, name="phrase"),
    path("join/<str:token>/", joining.join, name="join"),
    path("start/<str:token>/", joining.start, name="start"),
    path("calendar/<str:token>.ics", calendar.calendar_file, name="calendar_file"),
    path("c/<slug:slug>/calendar/", calendar.calendar, name="calendar"),
    path("c/<slug:slug>/today/", today.today, name="today"),
    path(_SET, one_set.one_set, name="set"),
    path(_SET + "<int:number>/", scramble, name="scramble"),
    path(_SET + "<int:number>/echo/", attempt.echo, name="echo"),
    path(_SET + "<int:number>/inspect/", attempt.inspect, name="inspect"),
    path(_SET + "<int:number>/write/", attempt.write, name="write"),
    path(_SET + "<int:number>/read-back/", attempt.read_back, name="read_back"),
    path("c/<slug:slug>/earlier/", earlier.earlier, name="earlier"),
    path(_SET + "table/", table.one_set, name="table_set"),
    path(_SET + "<int:number>/again/", again.again, name="again"),
    path(_SET + "<int:number>/ask/", ask.ask, name="ask"),
    path("c/<slug:slug>/challenges/", challenges.challenges, name="challenges"),
    path(_CHALLENGE, challenge.challenge, name="challenge"),
    path(_CHALLENGE + "post/", challenge_post.challenge_post, name="challenge_post"),
    path(_CHALLENGE + "post/sheet/", challenge_post.challenge_sheet, name="challenge_sheet"),
    path(
        _CHALLENGE + "post/picture.svg",
        challenge_post.challenge_picture,
        name="challenge_picture",
    ),
    path("c/<slug:slug>/seasons/<int:season_id>/", season.season, name="season"),
    path("c/<slug:slug>/seasons/<int:season_id>/change/", season.change, name="change_season"),
    path("c/<slug:slug>/coach/questions/", questions.questions, name="questions"),
    path("posts/<str:secret>/", public_posts.public_posts, name="public_posts"),
    path("posts/<str:secret>/feed/", public_posts.public_feed, name="public_feed"),
    path(
        "posts/<str:secret>/<int:post_id>/picture.svg",
        public_posts.public_picture,
        name="public_picture",
    ),
    path("c/<slug:slug>/table/", table.latest, name="table"),
    path("c/<slug:slug>/table/day/<day:day>/", table.day, name="table_day"),
    path("c/<slug:slug>/table/week/<day:day>/", table.week, name="table_week"),
    path("c/<slug:slug>/table/all/", table.all_time, name="table_all"),
    path("c/<slug:slug>/progress/", progress.own, name="progress"),
    path("c/<slug:slug>/plans/", my_plans.my_plans, name="plans"),
    path("c/<slug:slug>/practice/", practice.practice, name="practice"),
    path("c/<slug:slug>/coach/", coach_day.overview, name="coach"),
    path("c/<slug:slug>/coach/sets/<int:set_id>/", coach_day.one_set, name="coach_set"),
    path("c/<slug:slug>/coach/sets/<int:set_id>/correct/", corrections.of_set, name="correct_set"),
    path("c/<slug:slug>/coach/corrections/", corrections.log, name="corrections"),
    path("c/<slug:slug>/coach/plans/<int:plan_id>/", coach_plan.plan, name="coach_plan"),
    path(
        "c/<slug:slug>/coach/members/<int:membership_id>/",
        progress.of_member,
        name="coach_member",
    ),
    path(
        "c/<slug:slug>/coach/members/<int:membership_id>/plans/",
        my_plans.of_member,
        name="coach_member_plans",
    ),
    path(
        "c/<slug:slug>/coach/members/<int:membership_id>/homework/",
        homework.homework,
        name="homework",
    ),
    path("c/<slug:slug>/coach/review/", review.review, name="coach_review"),
    path("c/<slug:slug>/coach/review.csv", review.as_csv, name="coach_review_csv"),
    path("c/<slug:slug>/coach/lessons/<slug:code>/", lesson.lesson, name="lesson"),
    path("c/<slug:slug>/coach/week/", planner.week, name="planner"),
    path("c/<slug:slug>/coach/week/<day:day>/", planner.week, name="planner_week"),
    path("c/<slug:slug>/coach/week/<day:day>/add/", planner.add, name="planner_day"),
    path("c/<slug:slug>/coach/week/<day:day>/copy/", planner.copy, name="planner_copy"),
    path(
        "c/<slug:slug>/coach/week/<day:day>/<int:series_id>/",
        planner.one_set,
        name="planner_set",
    ),
    path("c/<slug:slug>/coach/holidays/", planner.holidays, name="holidays"),
    path("c/<slug:slug>/groups/", groups.groups, name="groups"),
    path("c/<slug:slug>/people/", people.people, name="people"),
    path("c/<slug:slug>/people/list/", people_list.people_list, name="people_list"),
    path("c/<slug:slug>/people/cards/", people_list.cards, name="cards"),
    path("c/<slug:slug>/people/<int:membership_id>/", people.act, name="person"),
    path(
        "c/<slug:slug>/people/<int:membership_id>/about/",
        member.member,
        name="member",
    ),
    path(
        "c/<slug:slug>/people/<int:membership_id>/data/",
        member.data,
        name="member_data",
    ),
    path(
        "c/<slug:slug>/people/<int:membership_id>/erase/",
        erasing.member,
        name="erase_member",
    ),
    path("c/<slug:slug>/log/", log.log, name="log"),
    path("c/<slug:slug>/hooks/", hooks.hooks, name="hooks"),
    path("c/<slug:slug>/export/", export.export, name="export"),
    path("c/<slug:slug>/settings/", settings.settings, name="settings"),
    path("c/<slug:slug>/settings/series/new/", series.new, name="new_series"),
    path("c/<slug:slug>/settings/series/<int:series_id>/", series.one, name="series"),
    path("c/<slug:slug>/site/", site.site, name="site"),
]
