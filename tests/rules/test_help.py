"""Every command says what it does, shows an example that works, and describes every option."""

import shlex

import pytest
import typer

from lawnmap.cli.app import app

ROOT_COMMAND = typer.main.get_command(app)
COMMANDS = sorted(ROOT_COMMAND.commands)


def test_commands_are_these():
    assert set(COMMANDS) >= {"measure", "new", "plan", "rates"}


@pytest.mark.parametrize("name", COMMANDS)
def test_help_has_an_example(name):
    command = ROOT_COMMAND.commands[name]
    assert command.help
    assert command.help.splitlines()[0].endswith((".", ":"))
    example = next((line for line in command.epilog.splitlines() if line.startswith("lawnmap ")), None)
    assert example, "the epilog shows no example"
    words = shlex.split(example)[1:]
    assert words[0] == name


@pytest.mark.parametrize("name", COMMANDS)
def test_example_has_only_options_that_exist(name):
    command = ROOT_COMMAND.commands[name]
    words = shlex.split(command.epilog.splitlines()[0])[2:]
    context = command.make_context(name, words)  # raises on wrong usage
    assert not context.args, "words of the example are left over"


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_is_described(name):
    silent = [
        parameter.name
        for parameter in ROOT_COMMAND.commands[name].params
        if not getattr(parameter, "help", None) and parameter.name != "help"
    ]
    assert not silent
