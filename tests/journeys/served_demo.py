"""The demo, loaded and served at a held moment, in a process of its own: `python -m tests.journeys.served_demo`.

Prints one line of JSON when it can be reached (address, session cookie), serves until its input ends. DATA names
the folder it keeps everything in.
"""

import json
import os
import sys
import threading
from datetime import UTC, datetime
from importlib import import_module
from socketserver import ThreadingMixIn
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

import django
import time_machine
from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.core.management import call_command
from django.core.wsgi import get_wsgi_application

LOADED_AT = datetime(2027, 5, 14, 16, 0, tzinfo=UTC)


class Server(ThreadingMixIn, WSGIServer):
    """Answers several requests at once, as a browser makes them."""

    daemon_threads = True


class Quiet(WSGIRequestHandler):
    """Says nothing of requests that went well."""

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002
        """Nothing."""


def session_of(name: str) -> str:
    """The key of a session in which a person is signed in."""
    user = import_module("django.contrib.auth.models").User.objects.get(username=name)
    session = import_module(settings.SESSION_ENGINE).SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = "allauth.account.auth_backends.AuthenticationBackend"
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.create()
    return str(session.session_key)


def main() -> None:
    """Load, say where, serve."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    call_command("migrate", verbosity=0)
    call_command("load_demo", stdout=sys.stderr)
    with make_server("127.0.0.1", 0, get_wsgi_application(), Server, Quiet) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        told = {
            "address": f"http://127.0.0.1:{server.server_port}",
            "session": {"name": settings.SESSION_COOKIE_NAME, "value": session_of("ines")},
            "theme": f"{settings.COOKIE_PREFIX}_theme",
        }
        print(json.dumps(told), flush=True)
        sys.stdin.read()


if __name__ == "__main__":
    with time_machine.travel(LOADED_AT, tick=True):
        main()
