"""A name means one thing: no class is named as another one is, and nothing in a module is named twice."""

import ast
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

PROGRAM = Path(__file__).parents[1] / "assistant"


def named(tree: ast.Module) -> Iterator[str]:
    """What a module names at its top."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.name
        targets = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        yield from (name.id for target in targets for name in ast.walk(target) if isinstance(name, ast.Name))


def test_one_name_for_one_thing():
    """A second constant of a name silently takes the first one's place: another sentence would be said."""
    classes = defaultdict(list)
    for file in sorted(PROGRAM.rglob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        twice = [name for name, times in Counter(named(tree)).items() if times > 1]
        assert not twice, f"{file}: {twice}"
        for node in tree.body:
            if isinstance(node, ast.ClassDef):
                classes[node.name].append(file.relative_to(PROGRAM))
    assert len(classes) > 200
    assert {name: files for name, files in classes.items() if len(files) > 1} == {}
