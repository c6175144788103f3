"""The examples in the trade room's own words are run."""

import doctest
import importlib
import pkgutil

import pytest

from assistant import trade

MODULES = [module.name for module in pkgutil.iter_modules(trade.__path__, "assistant.trade.")]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples():
    found = (doctest.testmod(importlib.import_module(name)).attempted for name in MODULES)
    assert sum(found) > 20
