"""Bringing up what the app's own commands need: the settings of this home, and its tables."""

import os
from pathlib import Path

from fillmark.services.home import data_home, prepare_home

SETTINGS = "fillmark.config.settings"


def choose_demo() -> None:
    """From here on, this home is the one of the invented household."""
    os.environ["FILLMARK_HOME"] = str(data_home() / "demo")
    os.environ.pop("FILLMARK_DATABASE", None)


def read_settings() -> None:
    """Let the settings take over what the environment says; nothing is made on the disk."""
    os.environ["DJANGO_SETTINGS_MODULE"] = SETTINGS
    import django  # only now: it reads the environment

    django.setup()


def prepare_tables() -> Path:
    """Make this home and its tables where they are missing; where they lie."""
    home = prepare_home()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    return home
