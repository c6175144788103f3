"""A recipe's file while the recipe is being printed from a frozen copy: an edit changes nothing, but it is not passed over."""

from pathlib import Path

from assistant.plain_files import read_text
from assistant.recipe.yaml_places import MOST_BYTES
from assistant.score import words


class RecipeWatch:
    """Says once for every new text of the file that it is not what is printed."""

    def __init__(self, file: Path, text: str) -> None:
        self._file = file
        self._seen = text

    def __call__(self) -> str:
        """What is to be said, "" for nothing. A file that is gone or being written is looked at again the next time."""
        try:
            text = read_text(self._file, MOST_BYTES, "utf-8-sig")
        except (OSError, UnicodeDecodeError):
            return ""
        if not text or text == self._seen:
            return ""
        self._seen = text
        return words.RECIPE_CHANGED
