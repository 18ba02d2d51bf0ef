"""Every public formula states units, range of validity, errors and source, and its example runs."""

import doctest
import importlib
import inspect
import pkgutil
import re

import pytest

import headparts.mechanics
import headparts.tables

MODULES = [
    importlib.import_module(f"{package.__name__}.{item.name}")
    for package in (headparts.mechanics, headparts.tables)
    for item in pkgutil.iter_modules(package.__path__)
]
PLUMBING = {
    "together",
    "numbers",
    "require",
    "plain",
    "parse_table",
    "read_table",
    "number_in",
    "group_ranges",
    "find_range",
}
"""Entry checks and the table reader: no formula, so no source and no range of validity."""


def public_functions():
    for module in MODULES:
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("_") and function.__module__ == module.__name__:
                yield module, name, function


FORMULAS = [item for item in public_functions() if item[1] not in PLUMBING]


def ids(items):
    return [f"{module.__name__.split('.', 1)[1]}.{name}" for module, name, _ in items]


def test_there_are_formulas_to_look_at():
    assert len(FORMULAS) > 60


@pytest.mark.parametrize(("module", "name", "function"), FORMULAS, ids=ids(FORMULAS))
def test_docstring_of_a_formula(module, name, function):
    text = inspect.getdoc(function) or ""
    for heading in ("Parameters", "Returns:", "Raises:", "Validity:", "Source:"):
        assert re.search(rf"^{heading}", text, re.MULTILINE), f"{name}: no {heading}"
    parameters = text[text.index("Parameters") : text.index("Returns:")]
    stated = re.findall(r"^    (\w+) \[([^\]]+)\]:", parameters, re.MULTILINE)
    assert [key for key, _ in stated] == list(inspect.signature(function).parameters), name
    returns = text[text.index("Returns:") : text.index("Raises:")]
    assert re.search(r"\[[^\]]+\]", returns), f"{name}: no unit of the result"
    assert re.search(r"(ParameterError|TableError):", text[text.index("Raises:") :]), name
    for heading in ("Validity:", "Source:"):
        said = text[text.index(heading) + len(heading) :].split(">>>")[0].split("Source:")[0]
        assert re.search(r"\w", said), f"{name}: nothing said under {heading}"
    assert text.count(">>>") >= 1, f"{name}: no example"
    order = [
        text.index(word) for word in ("Parameters", "Returns:", "Raises:", "Validity:", "Source:", ">>>")
    ]
    assert order == sorted(order), f"{name}: order of the sections"


@pytest.mark.parametrize(
    ("module", "name", "function"),
    [item for item in public_functions() if item[1] not in PLUMBING],
    ids=ids([item for item in public_functions() if item[1] not in PLUMBING]),
)
def test_example_runs(module, name, function):
    tests = doctest.DocTestFinder(recurse=False).find(function, name, module=module)
    examples = [example for test in tests for example in test.examples]
    assert examples, f"{name} has no example"
    for test in tests:
        assert doctest.DocTestRunner(verbose=False).run(test).failed == 0


def test_no_module_is_long():
    for module in MODULES:
        assert len(inspect.getsource(module).splitlines()) < 400, module.__name__
