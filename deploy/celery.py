"""The background process: jobs are declared in each app's jobs.py, their times here."""

import os

from celery import Celery
from celery.schedules import crontab

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "deploy.settings")

app = Celery("penstock")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(related_name="jobs")
app.conf.beat_schedule = {
    "raise-tasks": {"task": "facility.raise-tasks", "schedule": crontab(minute="*/5")},
    "send-notices": {"task": "facility.send-notices", "schedule": 30.0},
    "escalate-alerts": {"task": "facility.escalate-alerts", "schedule": crontab(minute="*")},
    # Looks at each site's own clock: Monday 03:00 for the week, the first 03:30 for the month.
    "keep-reports": {"task": "facility.keep-reports", "schedule": crontab(minute="*/15")},
    "watch-sites": {"task": "tanks.watch-sites", "schedule": crontab(minute="2-59/5")},
    "refresh-forecasts": {
        "task": "tanks.refresh-forecasts",
        "schedule": crontab(hour="2", minute="10"),
    },
}
