"""The command line: reads arguments and calls. A command is a module, loaded only when it is called."""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module

import click

COMMANDS = {
    "practise": "sideplate_trainer.practise_command",
    "progress": "sideplate_trainer.progress_command",
    "judge": "sideplate_trainer.judge_command",
    "ask": "sideplate_trainer.ask_command",
    "show": "sideplate_trainer.show_command",
    "check": "sideplate_trainer.check_command",
    "schema": "sideplate_trainer.schema_command",
    "compare": "sideplate_trainer.compare_command",
    "new": "sideplate_trainer.new_command",
    "site": "sideplate_site.site_command",
}


OBJECTS_BETWEEN_COLLECTIONS = 50_000
"""Reading the knowledge makes some 200,000 objects that stay; to look among them for garbage every 700 takes long."""

INTERRUPTED = 130
"""Exit status after Ctrl-C, as shells have it: 128 and the number of the signal."""


class LazyCommands(click.Group):
    """A group whose commands are imported when they are first needed, so that each starts fast."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The commands in the order in which they are told of."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        module = COMMANDS.get(cmd_name)
        if module is None:
            return None
        command = import_module(module).command
        assert isinstance(command, click.Command)
        return command

    def invoke(self, ctx: click.Context) -> object:
        """As click does, but Ctrl-C while a command is imported or starts ends it as shells have it."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            click.echo(err=True)
            sys.exit(INTERRUPTED)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, but naming the nearest command when there is none of that name."""
        from sideplate_engine.findings import did_you_mean

        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            raise click.UsageError(
                f"No command is called {args[0]}{did_you_mean(args[0], COMMANDS) or '.'}", ctx
            )
        return super().resolve_command(ctx, args)


@click.command(
    cls=LazyCommands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 88},
    epilog="Shell completion: see `docs/how-to/shell-completion.md`.",
)
@click.version_option(package_name="sideplate", prog_name="sideplate")
@click.pass_context
def cli(ctx: click.Context) -> None:
    """Rules on a roller-chain final drive, with reasons, numbers and sources, and trains the next person to rule."""
    if os.environ.get("NO_COLOR"):
        ctx.color = False


def main() -> None:
    """The `sideplate` command."""
    gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS)
    cli(prog_name="sideplate")
