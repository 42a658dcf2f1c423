"""The application that the server runs, in each of its workers."""

import multiprocessing
import os
import signal
import threading
import time
from multiprocessing.connection import wait
from wsgiref.types import WSGIApplication

from django.conf import settings
from django.core.wsgi import get_wsgi_application
from django.db.backends.signals import connection_created
from granian.utils.proxies import wrap_wsgi_with_proxy_headers

from fillmark.config.database import limit_waits
from fillmark.services.environment import read_stated
from fillmark.web.turned_away import guard

_ENDS_BY_ITSELF_SECONDS = 3.0


def _end_with_parent() -> None:
    """A worker whose server was killed ends too: its port is free, and nobody is answered by an old version."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return
    wait([parent.sentinel])
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(_ENDS_BY_ITSELF_SECONDS)
    os._exit(1)


os.environ.setdefault("DJANGO_SETTINGS_MODULE", "fillmark.config.settings")
connection_created.connect(limit_waits)
application: WSGIApplication = get_wsgi_application()
_stated = read_stated()
# A worker that is started anew comes from a process that read its settings before this machine's addresses changed.
settings.ALLOWED_HOSTS = list(_stated.hosts or settings.ALLOWED_HOSTS)
application = guard(application)
if _stated.proxies:
    application = wrap_wsgi_with_proxy_headers(application, list(_stated.proxies))
threading.Thread(target=_end_with_parent, daemon=True).start()
