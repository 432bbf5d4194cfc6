"""The command `beadwise`: the table of its commands, and the one place that turns errors into exit statuses.

Start-up is lean: this module imports click and the errors, a command's module is imported when it is called, and what a
command needs is imported inside it.
"""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress

import click

from convert.errors import (
    EXIT_INTERNAL,
    EXIT_INTERRUPTED,
    EXIT_NOTHING,
    EXIT_OK,
    EXIT_UNREADABLE,
    EXIT_USAGE,
    BeadwiseError,
)

COMMANDS = {
    "convert": "convert.cli.convert:command",
    "show": "convert.cli.show:command",
    "set": "convert.cli.set:command",
    "merge": "convert.cli.merge:command",
    "diff": "convert.cli.diff:command",
    "audit": "convert.cli.audit:command",
    "explain": "convert.cli.explain:command",
    "compute": "convert.cli.compute:command",
    "normalise": "convert.cli.normalise:command",
    "find": "convert.cli.find:command",
    "kin": "convert.cli.kin:command",
    "learn": "convert.cli.learn:command",
    "git": "convert.cli.git:command",
    "tables": "convert.cli.tables:command",
    "settings": "convert.cli.settings:command",
}
"""Command -> module and function, in the order in which the help lists them."""

GRAVITY = (EXIT_INTERRUPTED, EXIT_INTERNAL, EXIT_USAGE, EXIT_NOTHING, EXIT_UNREADABLE)
"""Where several exit statuses apply, the first of these is given; then the others."""

STATUSES = """\b
Exit status:
  0    nothing at or above the threshold
  1    findings, differences or losses at or above the threshold
  2    the call is wrong
  3    finished, but some files could not be read or written
  4    nothing could be converted, compared or checked
  70   a fault of beadwise itself
  130  interrupted"""


class Commands(click.Group):
    """The commands of the table, imported when they are needed."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        from importlib import import_module

        if cmd_name not in COMMANDS:
            return None
        module, _, function = COMMANDS[cmd_name].partition(":")
        command: click.Command = getattr(import_module(module), function)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        name = args[0]
        if name not in COMMANDS and not name.startswith("-"):
            from difflib import get_close_matches

            close = get_close_matches(name, COMMANDS, 3)
            meant = f"did you mean {' or '.join(close)}?" if close else f"the commands are {', '.join(COMMANDS)}"
            raise click.UsageError(f"there is no command {name!r}; {meant}", ctx)
        return super().resolve_command(ctx, args)


def _version(ctx: click.Context, option: click.Parameter, wanted: bool) -> None:
    if wanted:
        from convert import __version__

        click.echo(f"beadwise {__version__}")
        ctx.exit()


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog=STATUSES,
)
@click.option("--version", is_flag=True, expose_value=False, is_eager=True, callback=_version, help="Say the version.")
def group() -> None:
    """Convert, compare and check the settings files of material-extrusion printers."""


def main(arguments: list[str] | None = None) -> int:
    """Run the command line and return the exit status. Errors are lines on stderr, never tracebacks."""
    try:
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="backslashreplace")  # file names need not be text in the terminal's encoding
        status = _run(sys.argv[1:] if arguments is None else arguments)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        _discard_output()
        return EXIT_UNREADABLE  # nobody saw the end of the result, so it is no pass; but nobody needs to be told
    except OSError as error:
        _discard_output()
        return _fail(f"cannot go on: {(error.strerror or str(error)).lower()}", EXIT_UNREADABLE)
    except KeyboardInterrupt:
        return _fail("interrupted", EXIT_INTERRUPTED)
    except Exception as error:
        if os.environ.get("BEADWISE_DEBUG") == "1":
            raise
        what = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
        hint = "please report it, with the command and the files; BEADWISE_DEBUG=1 shows where it happened"
        return _fail(f"a fault of beadwise itself, {what}; {hint}", EXIT_INTERNAL)
    return status


def entry() -> None:
    """The process `beadwise`: run, and leave with the exit status."""
    # What a command reads and makes lives to its end, and the system takes it back then: to look for garbage in it, now
    # and then or at the end, takes a tenth of the time.
    gc.set_threshold(100_000)
    status = main()
    gc.freeze()
    if status == EXIT_INTERRUPTED:
        # An interrupt that strikes while a class is being made marks the interpreter for death by the signal, although
        # it was caught. All work has been unwound by now, so the process may leave at once with its documented status.
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:
                stream.flush()
        os._exit(status)
    sys.exit(status)


def _run(arguments: list[str]) -> int:
    try:
        with group.make_context("beadwise", list(arguments)) as context:
            status = group.invoke(context)
            return status if isinstance(status, int) else EXIT_OK
    except click.exceptions.Exit as end:
        return end.exit_code
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message(), err=True)
        return EXIT_USAGE
    except click.UsageError as error:
        message = error.format_message().rstrip(".")
        path = error.ctx.command_path if error.ctx is not None else "beadwise"
        return _fail(f"{message[:1].lower()}{message[1:]}; '{path} --help' tells more", error.exit_code)
    except click.ClickException as error:
        return _fail(error.format_message(), error.exit_code)
    except click.Abort:
        raise KeyboardInterrupt from None
    except BeadwiseError as error:
        return _fail(str(error), error.exit_code)


def gravest(statuses: set[int]) -> int:
    """The exit status where several apply.

    >>> gravest({1, 3, 4}), gravest({1}), gravest(set())
    (4, 1, 0)
    """
    return next((status for status in GRAVITY if status in statuses), max(statuses, default=EXIT_OK))


def _fail(says: str, status: int) -> int:
    from convert.report.visible import visible

    with suppress(OSError, ValueError):  # nobody may be listening
        print(f"beadwise: {visible(says)}", file=sys.stderr, flush=True)
    return status


def _discard_output() -> None:
    """Let the interpreter's last flush go nowhere; what stands in the buffer cannot be delivered."""
    with suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
