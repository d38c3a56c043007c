"""Addresses of the pages."""

from django.urls import path

from training import converters  # noqa: F401 - registers itself
from training.web.views import (
    access,
    attempt,
    coach,
    first,
    joining,
    lessons,
    notation,
    people,
    plans,
    practice,
    progress,
    reviews,
    settings,
    tables,
    today,
)

_SET = "c/<slug:slug>/sets/<int:set_id>/"

urlpatterns = [
    path("", first.first, name="first"),
    path("notation/", notation.notation, name="notation"),
    path("sign-in/", access.sign_in, name="sign_in"),
    path("sign-out/", access.sign_out, name="sign_out"),
    path("code/", access.code, name="code"),
    path("phrase/", access.phrase, name="phrase"),
    path("join/<str:token>/", joining.join, name="join"),
    path("start/<str:token>/", joining.start, name="start"),
    path("c/<slug:slug>/today/", today.today, name="today"),
    path(_SET, today.one_set, name="set"),
    path(_SET + "<int:number>/", attempt.scramble, name="scramble"),
    path(_SET + "<int:number>/echo/", attempt.echo, name="echo"),
    path("c/<slug:slug>/table/", tables.latest, name="table"),
    path("c/<slug:slug>/table/day/<day:day>/", tables.day, name="table_day"),
    path("c/<slug:slug>/table/week/<day:day>/", tables.week, name="table_week"),
    path("c/<slug:slug>/table/all/", tables.all_time, name="table_all"),
    path("c/<slug:slug>/progress/", progress.own, name="progress"),
    path("c/<slug:slug>/plans/", plans.plans, name="plans"),
    path("c/<slug:slug>/practice/", practice.practice, name="practice"),
    path("c/<slug:slug>/coach/", coach.overview, name="coach"),
    path("c/<slug:slug>/coach/sets/<int:set_id>/", coach.one_set, name="coach_set"),
    path("c/<slug:slug>/coach/plans/<int:plan_id>/", coach.plan, name="coach_plan"),
    path(
        "c/<slug:slug>/coach/members/<int:membership_id>/",
        progress.of_member,
        name="coach_member",
    ),
    path("c/<slug:slug>/coach/review/", reviews.review, name="coach_review"),
    path("c/<slug:slug>/coach/review.csv", reviews.as_csv, name="coach_review_csv"),
    path("c/<slug:slug>/coach/lessons/<slug:code>/", lessons.lesson, name="lesson"),
    path("c/<slug:slug>/people/", people.people, name="people"),
    path("c/<slug:slug>/people/<int:membership_id>/", people.act, name="person"),
    path("c/<slug:slug>/settings/", settings.settings, name="settings"),
]
