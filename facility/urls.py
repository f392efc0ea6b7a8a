"""The shell's addresses."""

from django.urls import path

from facility.views import (
    alert_weeks,
    alerts,
    breaks,
    duties,
    hand_overs,
    hands,
    handsets,
    icon,
    ledger,
    loose_ends,
    maintenance,
    people,
    places,
    session,
    work,
    worker,
)

app_name = "facility"

urlpatterns = [
    path("favicon.ico", icon.show, name="icon"),
    path("sign-in/", session.sign_in, name="sign-in"),
    path("sign-out/", session.sign_out, name="sign-out"),
    path("tasks/", work.tasks, name="tasks"),
    path("duties/", duties.duties, name="duties"),
    path("sites/<uuid:site_id>/duties/new/", duties.set_duty, name="set-duty"),
    path("duties/<uuid:duty_id>/end/", duties.end_duty, name="end-duty"),
    path("tasks/<uuid:task_id>/", work.answer_task, name="answer-task"),
    path("worker.js", worker.worker, name="worker"),
    path("outbox/", worker.outbox, name="outbox"),
    path("hands/", hands.change_hands, name="change-hands"),
    path("handsets/", handsets.handsets, name="handsets"),
    path("sites/<uuid:site_id>/handsets/new/", handsets.pair_handset, name="pair-handset"),
    path("handsets/<uuid:handset_id>/revoke/", handsets.revoke_handset, name="revoke-handset"),
    path("sites/<uuid:site_id>/pin/", handsets.set_pin, name="set-pin"),
    path("sites/<uuid:site_id>/break/", breaks.take_break, name="take-break"),
    path(
        "sites/<uuid:site_id>/loose-ends/new/",
        loose_ends.leave_loose_end,
        name="leave-loose-end",
    ),
    path(
        "loose-ends/<uuid:loose_end_id>/return/",
        loose_ends.return_loose_end,
        name="return-loose-end",
    ),
    path("hand-over/", hand_overs.hand_overs_page, name="hand-overs"),
    path("sites/<uuid:site_id>/hand-over/", hand_overs.hand_over, name="hand-over"),
    path("closing/", hand_overs.closing_list, name="closing-list"),
    path("stop-list/", hand_overs.stop_list, name="stop-list"),
    path("alerts/", alerts.alerts, name="alerts"),
    path("alerts/week/", alert_weeks.week, name="alerts-week"),
    path("alerts/<uuid:alert_id>/", alerts.alert, name="alert"),
    path("alerts/<uuid:alert_id>/accept/", alerts.accept_alert, name="accept-alert"),
    path("alerts/<uuid:alert_id>/clear/", alerts.clear_alert, name="clear-alert"),
    path("sites/<uuid:site_id>/maintenance/", maintenance.set_maintenance, name="set-maintenance"),
    path("ledger/", ledger.show, name="ledger"),
    path("people/", people.people, name="people"),
    path("sites/<uuid:site_id>/people/new/", people.invite_person, name="invite-person"),
    path("memberships/<uuid:membership_id>/end/", people.end_membership, name="end-membership"),
    path("sites/new/", places.open_site, name="open-site"),
    path("sites/<uuid:site_id>/areas/new/", places.open_area, name="open-area"),
]
