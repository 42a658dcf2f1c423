"""The application that the server runs."""

import os

from django.conf import settings
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "fillmark.config.settings")
application = get_wsgi_application()
# A worker that is started anew comes from a process that read its settings before this machine's addresses changed.
settings.ALLOWED_HOSTS = os.environ.get("FILLMARK_HOSTS", ",".join(settings.ALLOWED_HOSTS)).split(",")
