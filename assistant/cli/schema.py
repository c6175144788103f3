"""`traycall schema`: prints the JSON Schema of a recipe, for editors that help while one is written."""

import argparse
import json

from assistant.printing.text_out import say


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words: none."""


def run(args: argparse.Namespace) -> int:
    """Print the schema; always 0."""
    from assistant.recipe.schema import recipe_schema

    say(json.dumps(recipe_schema(), indent=2, ensure_ascii=True))
    return 0
