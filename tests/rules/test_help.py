"""Every command says what it does, shows an example that works, and describes every option."""

import shlex

import pytest
import typer

from lawnmap.cli.app import app

ROOT_COMMAND = typer.main.get_command(app)


def leaves(group, *words):
    """Every command by the words that call it, those of a group one by one."""
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from leaves(command, *words, name)
        else:
            yield " ".join((*words, name)), command


LEAVES = dict(leaves(ROOT_COMMAND))
COMMANDS = sorted(LEAVES)


def test_commands_are_these():
    assert set(COMMANDS) >= {"measure", "new", "plan", "rates"}


@pytest.mark.parametrize("name", COMMANDS)
def test_help_has_an_example(name):
    command = LEAVES[name]
    assert command.help
    assert command.help.splitlines()[0].endswith((".", ":"))
    example = next((line for line in command.epilog.splitlines() if line.startswith("lawnmap ")), None)
    assert example, "the epilog shows no example"
    assert " ".join(shlex.split(example)[1:]).startswith(name)


@pytest.mark.parametrize("name", COMMANDS)
def test_example_has_only_options_that_exist(name):
    command = LEAVES[name]
    words = shlex.split(command.epilog.splitlines()[0])[1 + len(name.split()) :]
    context = command.make_context(name, words)  # raises on wrong usage
    assert not context.args, "words of the example are left over"


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_is_described(name):
    silent = [
        parameter.name
        for parameter in LEAVES[name].params
        if not getattr(parameter, "help", None) and parameter.name != "help"
    ]
    assert not silent
