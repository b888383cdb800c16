"""``counterpoise completion``: what lets a shell complete commands, made from the parser."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from app.cli.command_parser import CommandParser
from app.cli.parser import parser

_BASH = """\
# Completion of counterpoise: eval "$(counterpoise completion bash)"
_counterpoise() {{
    local current=${{COMP_WORDS[COMP_CWORD]}} command= word
    local before=${{COMP_WORDS[COMP_CWORD-1]}}
    COMPREPLY=()
    for word in "${{COMP_WORDS[@]:1:COMP_CWORD-1}}"; do
        case "$command $word" in
{commands}
        esac
    done
    case "$command $before" in
{values}
    esac
    case $command in
{words}
    esac
}}
complete -o default -o bashdefault -F _counterpoise counterpoise
"""
_ZSH = """\
# Completion of counterpoise: eval "$(counterpoise completion zsh)"
autoload -Uz compinit bashcompinit
(( ${+functions[compdef]} )) || compinit
bashcompinit
"""


def completion(shell: str) -> str:
    """Return the script that teaches a shell the commands and their options."""
    script = _bash()
    return script if shell == "bash" else _ZSH + script.split("\n", 1)[1]


def every_command(
    found: CommandParser, names: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], CommandParser]]:
    """Yield a command and all below it, each with the words that lead there."""
    yield names, found
    for name, below in found.commands.items():
        yield from every_command(below, (*names, name))


def _bash() -> str:
    commands, values, words = [], [], []
    for names, found in every_command(parser()):
        key = " ".join(names)
        for name in found.commands:
            below = f"{key} {name}".strip()
            commands.append(f'            "{key} {name}") command="{below}" ;;')
        for action in found.told:
            if action.choices is not None:
                options = "|".join(f'"{key} {option}"' for option in action.option_strings)
                if options:
                    values.append(_reply(options, _choices(action), return_too=True))
        options_of = [option for action in found.told for option in action.option_strings]
        given = [*found.commands, *_bare_choices(found), *options_of]
        words.append(_reply(f'"{key}"', given))
    return _BASH.format(
        commands="\n".join(commands), values="\n".join(values), words="\n".join(words)
    )


def _reply(case: str, words: list[str], *, return_too: bool = False) -> str:
    ending = " return ;;" if return_too else " ;;"
    return f'        {case}) COMPREPLY=($(compgen -W "{" ".join(words)}" -- "$current"));{ending}'


def _bare_choices(found: CommandParser) -> list[str]:
    return [
        choice
        for action in found.told
        if not action.option_strings and action.choices is not None
        for choice in _choices(action)
    ]


def _choices(action: argparse.Action) -> list[str]:
    return [str(choice) for choice in action.choices or ()]
