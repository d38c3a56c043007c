"""Addresses of the API, version 1."""

from django.urls import path, re_path

from training import converters  # noqa: F401 - registers itself
from training.api import errors, schema  # noqa: F401 - registers itself
from training.api.views import (
    challenges,
    coach,
    corrections,
    docs,
    groups,
    lessons,
    own_data,
    people,
    plans,
    problems,
    reviews,
    sets,
    tables,
)

app_name = "api"

CLUB = "clubs/<slug:slug>/"
urlpatterns = [
    path("", docs.Browse.as_view(url_name="api:document"), name="browse"),
    path("openapi.json", docs.Document.as_view(), name="document"),
    path("problems/", problems.problems, name="problems"),
    path("problems/<slug:code>", problems.problem, name="problem"),
    path("tokens/", people.Tokens.as_view(), name="tokens"),
    path("tokens/current/", people.CurrentToken.as_view(), name="current-token"),
    path("me/", people.Myself.as_view(), name="me"),
    path("me/data/", own_data.MyData.as_view(), name="my-data"),
    path(f"{CLUB}sets/now/", sets.SetsNow.as_view(), name="sets-now"),
    path(f"{CLUB}sets/", sets.OwnSets.as_view(), name="own-sets"),
    path(f"{CLUB}sets/all/", sets.EverySet.as_view(), name="every-set"),
    path(f"{CLUB}sets/<int:set_id>/afterwards/", sets.Afterwards.as_view(), name="afterwards"),
    path(f"{CLUB}sets/<int:set_id>/", sets.OneSet.as_view(), name="set"),
    path(f"{CLUB}sets/<int:set_id>/table/", tables.SetTable.as_view(), name="set-table"),
    path(
        f"{CLUB}sets/<int:set_id>/scrambles/<int:number>/plan/",
        plans.OwnPlan.as_view(),
        name="own-plan",
    ),
    path(f"{CLUB}table/day/<day:day>/", tables.DayTable.as_view(), name="day-table"),
    path(f"{CLUB}table/week/<day:day>/", tables.WeekTable.as_view(), name="week-table"),
    path(f"{CLUB}table/all/", tables.AllTimeTable.as_view(), name="all-time-table"),
    path(f"{CLUB}progress/", reviews.OwnProgress.as_view(), name="progress"),
    path(f"{CLUB}improvements/", lessons.OwnImprovements.as_view(), name="improvements"),
    path(
        f"{CLUB}coach/improvements/",
        lessons.ClubImprovements.as_view(),
        name="coach-improvements",
    ),
    path(
        f"{CLUB}coach/lessons/ideas/<slug:code>/",
        lessons.IdeaLesson.as_view(),
        name="idea-lesson",
    ),
    path(
        f"{CLUB}coach/lessons/habits/<slug:code>/",
        lessons.HabitLesson.as_view(),
        name="habit-lesson",
    ),
    path(f"{CLUB}coach/review/", reviews.GroupReview.as_view(), name="group-review"),
    path(
        f"{CLUB}coach/members/<int:membership_id>/progress/",
        reviews.MemberProgress.as_view(),
        name="member-progress",
    ),
    path(
        f"{CLUB}coach/members/<int:membership_id>/data/",
        own_data.MemberData.as_view(),
        name="member-data",
    ),
    path(f"{CLUB}challenges/", challenges.Challenges.as_view(), name="challenges"),
    path(
        f"{CLUB}challenges/<int:challenge_id>/",
        challenges.OneChallenge.as_view(),
        name="challenge",
    ),
    path(
        f"{CLUB}challenges/<int:challenge_id>/confirm/",
        challenges.Confirming.as_view(),
        name="confirm-challenge",
    ),
    path(f"{CLUB}seasons/", challenges.Seasons.as_view(), name="seasons"),
    path(f"{CLUB}seasons/<int:season_id>/", challenges.OneSeason.as_view(), name="season"),
    path(
        f"{CLUB}seasons/<int:season_id>/confirm/",
        challenges.ConfirmingSeason.as_view(),
        name="confirm-season",
    ),
    path(
        f"{CLUB}sets/<int:set_id>/scrambles/<int:number>/questions/",
        challenges.OwnQuestions.as_view(),
        name="own-questions",
    ),
    path(f"{CLUB}questions/", challenges.Questions.as_view(), name="questions"),
    path(
        f"{CLUB}questions/<int:question_id>/answer/",
        challenges.Answering.as_view(),
        name="answer-question",
    ),
    path(f"{CLUB}corrections/", corrections.Corrections.as_view(), name="corrections"),
    path(
        f"{CLUB}corrections/<int:correction_id>/undo/",
        corrections.Undoing.as_view(),
        name="undo-correction",
    ),
    path(f"{CLUB}log/", own_data.Log.as_view(), name="log"),
    path(f"{CLUB}groups/", groups.Groups.as_view(), name="groups"),
    path(f"{CLUB}groups/move/", groups.Moving.as_view(), name="move-members"),
    path(f"{CLUB}groups/<int:group_id>/", groups.OneGroup.as_view(), name="group"),
    path(f"{CLUB}people/list/", groups.PastedPeople.as_view(), name="paste-people"),
    path(f"{CLUB}coach/overview/", coach.CoachOverview.as_view(), name="coach-overview"),
    path(f"{CLUB}coach/sets/<int:set_id>/", coach.CoachSet.as_view(), name="coach-set"),
    re_path(r"^[\s\S]*$", errors.not_found),
]
