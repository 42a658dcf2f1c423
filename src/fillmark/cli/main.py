"""The command line: every `fillmark` command, and how it ends."""

import argparse
import sys
from collections.abc import Sequence
from importlib.metadata import version
from io import TextIOWrapper

from fillmark.core.values.errors import FillmarkError

EXIT_CODES = "Exit codes: 0 done, 1 a promise fell short, 2 the input is wrong, 3 a vet's answer is missing."

_ARCHIVES = {
    "backup": "everything of this home in one checked archive, while the app serves",
    "restore": "an empty home from an archive",
    "verify": "whether an archive, or this home's own record, is whole",
}


def _parser(*, with_serve: bool) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fillmark",
        description="Tube feeding at home: from the vet's orders to the mark on the syringe. "
        "It computes from a vet's orders; the vet decides.",
        epilog=EXIT_CODES,
    )
    parser.add_argument("--version", action="version", version=f"fillmark {version('fillmark')}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    plan = commands.add_parser("plan", help="the day from a care plan file", epilog=EXIT_CODES)
    plan.add_argument("file", help="a care plan in TOML or JSON")
    plan.add_argument("--on", help="the day, as year-month-day (default: today)", metavar="DAY")
    plan.add_argument("--why", action="store_true", help="show the working of every number")
    plan.add_argument("--json", action="store_true", help="for machines, with all working")

    sheet = commands.add_parser("read-sheet", help="what a discharge sheet says, beside its words", epilog=EXIT_CODES)
    sheet.add_argument("file", help="a discharge sheet as text, or as a PDF with text")
    sheet.add_argument("--json", action="store_true", help="for machines")

    figures = commands.add_parser("figures", help="every published number in use, with its source")
    figures.add_argument("--json", action="store_true", help="for machines")

    take_in = commands.add_parser(
        "take-in", aliases=["adopt"], help="put a care plan file in force in this home", epilog=EXIT_CODES
    )
    take_in.add_argument("file", help="a care plan in TOML or JSON")
    take_in.add_argument("--vet-words", required=True, help="what the vet said about it", metavar="WORDS")
    take_in.add_argument("--vet-said-on", required=True, help="on which day, as year-month-day", metavar="DAY")
    take_in.add_argument("--animal", help="for which animal (default: the one with the plan's name, else a new one)")
    take_in.add_argument(
        "--from", dest="when", choices=("now", "session", "day"), help="from now, the next session or day"
    )
    take_in.add_argument("--clock", choices=("file", "household"), help="whose time zone, where both differ")
    take_in.add_argument("--asked", action="store_true", help="everything that looks wrong was asked, and is meant")
    take_in.add_argument(
        "--vet-answer",
        action="append",
        default=[],
        metavar="KEY=WORDS",
        help="what the vet said about one thing that needs a word of the vet; once for each",
    )
    take_in.add_argument("--yes", action="store_true", help="do not ask to confirm")

    for name, says in _ARCHIVES.items():
        archive = commands.add_parser(name, help=says, epilog=EXIT_CODES)
        if name == "backup":
            archive.add_argument("file", help="the archive to be, or a folder in which it is named by the moment")
        else:
            archive.add_argument("file", help="an archive", nargs="?" if name == "verify" else None)
        if name == "verify":
            how = archive.add_mutually_exclusive_group()
            how.add_argument(
                "--rehearse", action="store_true", help="restore the archive into a throw-away home, and compare"
            )
            how.add_argument(
                "--rebuild", action="store_true", help="first work out anew what is kept beside the record's entries"
            )
        archive.add_argument("--demo", action="store_true", help="of the invented household")

    serve = commands.add_parser("serve", help="the app")
    if with_serve:  # the app's parts load slowly, and only this command needs them
        from fillmark.cli import serve as serve_command

        serve_command.add_arguments(serve)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; every fault of the input is one message and no traceback."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a terminal in another encoding must not break a message
            stream.reconfigure(encoding="utf-8", errors="replace")
    given = sys.argv[1:] if arguments is None else arguments
    options = _parser(with_serve="serve" in given).parse_args(given)
    try:
        match options.command:
            case "plan":
                from fillmark.cli import plan as command
            case "take-in" | "adopt":
                from fillmark.cli import take_in as command  # type: ignore[no-redef]
            case "read-sheet":
                from fillmark.cli import read_sheet as command  # type: ignore[no-redef]
            case "figures":
                from fillmark.cli import figures as command  # type: ignore[no-redef]
            case "backup" | "restore" | "verify":
                from fillmark.cli import backup as command  # type: ignore[no-redef]
            case _:
                from fillmark.cli import serve as command  # type: ignore[no-redef]
        return command.run(options)
    except FillmarkError as error:
        for one in (error, *error.also):
            print(f"fillmark: {one}", file=sys.stderr)
        return error.exit_code
    except BrokenPipeError:  # the reader of a pipe went away
        sys.stderr.close()
        return 0
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
