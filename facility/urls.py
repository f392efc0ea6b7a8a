"""The shell's addresses."""

from django.urls import path

from facility.views import icon, ledger, people, places, session, work

app_name = "facility"

urlpatterns = [
    path("favicon.ico", icon.show, name="icon"),
    path("sign-in/", session.sign_in, name="sign-in"),
    path("sign-out/", session.sign_out, name="sign-out"),
    path("tasks/", work.tasks, name="tasks"),
    path("tasks/<uuid:task_id>/", work.answer_task, name="answer-task"),
    path("ledger/", ledger.show, name="ledger"),
    path("people/", people.people, name="people"),
    path("sites/<uuid:site_id>/people/new/", people.invite_person, name="invite-person"),
    path("memberships/<uuid:membership_id>/end/", people.end_membership, name="end-membership"),
    path("sites/new/", places.open_site, name="open-site"),
    path("sites/<uuid:site_id>/areas/new/", places.open_area, name="open-area"),
]
