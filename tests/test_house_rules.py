"""Is the house kept as it was laid out? Imports by folder, the steps, the environment, templates, lock files."""

import ast
import re
import tomllib
from pathlib import Path

import pytest
from django.urls import get_resolver
from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.version import Version

from consult.flow import STEPS

ROOT = Path(__file__).resolve().parent.parent
OURS = ("consult", "shop", "tests")
CODE = sorted(
    path
    for folder in OURS
    for path in (ROOT / folder).rglob("*.py")
    if "__pycache__" not in path.parts
)
WRITTEN = [path for path in CODE if "migrations" not in path.parts]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))

CLOCKS = {"now", "utcnow", "today", "time", "monotonic", "localtime", "gmtime"}

# Of the packages installed, these alone may be used by the pure parts.
PURE = {
    "shop/core": {"shop.core", "iso4217", "babel"},
    "consult/core": {
        "shop.core", "consult.core", "consult.flow", "shapely", "numpy", "babel", "stdnum", "segno",
    },
    "consult/documents": {
        "shop.core", "consult.core", "consult.documents", "reportlab", "babel",
        "font_source_sans_pro", "font_source_serif_pro", "PIL", "segno", "uharfbuzz",
    },
}  # fmt: skip


def short(path):
    return path.relative_to(ROOT).as_posix()


def tree(path):
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def imports(path):
    """(module, names, line, level) of each import, wherever in the file."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, (), node.lineno, 0
        elif isinstance(node, ast.ImportFrom):
            yield node.module or "", tuple(a.name for a in node.names), node.lineno, node.level


def within(module, packages):
    return any(module == package or module.startswith(package + ".") for package in packages)


def standard(module):
    import sys  # only here, for the list of the standard library's own modules

    return module.split(".")[0] in sys.stdlib_module_names


def impure_imports(path, allowed):
    """What the file imports beyond the standard library and `allowed`; `from consult import flow` is consult.flow."""
    wrong = []
    for module, names, line, _ in imports(path):
        parts = [f"{module}.{name}" for name in names] or [module]
        if not standard(module) and not all(within(part, allowed) for part in parts):
            wrong.append(f"{short(path)}:{line} imports {module}")
    return wrong


def clock_reads(path):
    """Calls of datetime.now(), date.today() and their like, and of open() and read_text()."""
    found = []
    for node in ast.walk(tree(path)):
        if not isinstance(node, ast.Call):
            continue
        name = node.func
        if isinstance(name, ast.Attribute) and isinstance(name.value, ast.Name):
            if name.attr in CLOCKS and name.value.id in ("datetime", "date", "time", "dt"):
                found.append(f"{short(path)}:{node.lineno} asks the clock")
        elif isinstance(name, ast.Name) and name.id == "open":
            found.append(f"{short(path)}:{node.lineno} opens a file")
    return found


@pytest.mark.parametrize("folder", PURE)
def test_the_pure_parts_import_no_django_models_or_settings(folder):
    modules = sorted((ROOT / folder).rglob("*.py"))
    assert modules
    assert [wrong for path in modules for wrong in impure_imports(path, PURE[folder])] == []


@pytest.mark.parametrize("folder", ["shop/core", "consult/core"])
def test_the_core_asks_no_clock_and_opens_no_file(folder):
    assert [w for path in sorted((ROOT / folder).rglob("*.py")) for w in clock_reads(path)] == []


def test_the_shop_never_imports_the_consultation():
    assert [
        f"{short(path)}:{line}"
        for path in WRITTEN
        if path.is_relative_to(ROOT / "shop")
        for module, _, line, _ in imports(path)
        if within(module, ["consult"])
    ] == []


def test_only_actions_and_below_save_and_steps_never_touch_rows():
    """Steps and forms ask core and finding, and change things through actions alone."""
    steps = [p for p in WRITTEN if p.is_relative_to(ROOT / "consult" / "steps")]
    writes = re.compile(r"\.(save|delete|bulk_create|bulk_update|update_or_create|get_or_create)\(")
    assert [
        f"{short(path)}: {found.group()}"
        for path in steps
        for found in writes.finditer(path.read_text(encoding="utf-8"))
    ] == []


def test_no_relative_star_or_private_imports():
    wrong = []
    for path in CODE:
        for module, names, line, level in imports(path):
            if level:
                wrong.append(f"{short(path)}:{line} relative import")
            for name in names:
                private = name.startswith("_") and not name.startswith("__")
                if name == "*" or (private and within(module, OURS)):
                    wrong.append(f"{short(path)}:{line} imports {name} of {module}")
    assert wrong == []


def test_imports_inside_functions_say_why():
    wrong = []
    for path in WRITTEN:
        lines = path.read_text(encoding="utf-8").splitlines()
        for function in ast.walk(tree(path)):
            if not isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
                continue
            for node in ast.walk(function):
                if isinstance(node, ast.Import | ast.ImportFrom):
                    beside = lines[node.lineno - 1 : node.end_lineno]
                    above = lines[max(0, node.lineno - 3) : node.lineno - 1]
                    if not any("#" in line for line in [*beside, *above]):
                        wrong.append(f"{short(path)}:{node.lineno}")
    assert wrong == []


def test_the_environment_is_read_in_one_place():
    reads = re.compile(r"\bos\.(environ|getenv|putenv)\b|\bfrom os import .*\b(environ|getenv)\b")
    places = {
        short(path)
        for path in [*CODE, ROOT / "manage.py"]
        if reads.search(path.read_text(encoding="utf-8"))
        and not path.is_relative_to(ROOT / "tests")
    }
    assert places == {"shop/env.py"}


def test_no_file_is_over_four_hundred_lines():
    files = [*WRITTEN, ROOT / "manage.py", *TEMPLATES]  # migrations are written by Django
    files += [p for p in (ROOT / "static").rglob("*") if p.suffix in (".css", ".js")]
    long = {
        short(p): n for p in files if (n := len(p.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert long == {}


def test_no_file_is_named_for_nothing():
    vague = {"utils", "helpers", "common", "misc", "manager", "handler", "service", "info"}
    assert [
        short(p) for p in CODE if p.stem in vague or vague & set(p.relative_to(ROOT).parts)
    ] == []


def test_each_file_opens_with_a_sentence():
    assert [
        short(path)
        for path in WRITTEN
        if path.read_text(encoding="utf-8").strip() and not ast.get_docstring(tree(path))
    ] == []


def test_no_work_is_left_for_later_in_comments():
    later = re.compile(r"#.*\b(TODO|FIXME|XXX|HACK)\b")
    assert [
        short(p)
        for p in CODE
        if p.name != Path(__file__).name and later.search(p.read_text("utf-8"))
    ] == []


def test_no_check_is_silenced_without_its_reason():
    """A reason beside it: more words after the code of the rule."""
    bare = re.compile(
        r"#\s*(noqa(:\s*[A-Z]+\d+(,\s*[A-Z]+\d+)*)?|type:\s*ignore(\[[\w\-, ]+\])?)\s*$"
    )
    assert [
        f"{short(path)}:{number}"
        for path in CODE
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if bare.search(line)
    ] == []


def test_no_test_is_skipped():
    skipping = re.compile(r"pytest\.(mark\.)?(skip|skipif|xfail|importorskip)\b")
    assert [
        short(p)
        for p in CODE
        if p.name != Path(__file__).name and skipping.search(p.read_text("utf-8"))
    ] == []


# --- templates ---

BANNED_IN_TEMPLATES = {
    "inline script": re.compile(r"<script(?![^>]*\bsrc=)[^>]*>", re.I),
    "style element": re.compile(r"<style\b", re.I),
    "style attribute": re.compile(r"<[^>]*\sstyle\s*=", re.I),
    "event attribute": re.compile(r"<[^>]*\son[a-z]+\s*=", re.I),
    "htmx event attribute": re.compile(r"\bhx-on\b|hx-on:", re.I),
    "evaluated htmx values": re.compile(r"hx-(vals|headers)\s*=\s*[\"']js:", re.I),
    "address of another site": re.compile(r"(src|href|action)=[\"']https?://", re.I),
}


@pytest.mark.parametrize("what", BANNED_IN_TEMPLATES)
def test_templates_hold_nothing_the_browser_would_refuse(what):
    assert TEMPLATES
    assert [
        f"{short(path)}: {found.group()[:80]}"
        for path in TEMPLATES
        for found in BANNED_IN_TEMPLATES[what].finditer(path.read_text(encoding="utf-8"))
    ] == []


def test_the_search_for_inline_code_finds_what_it_looks_for():
    bad = """<script>x</script><style></style><p style="a"></p><p onclick="a"></p><p hx-on:click="a">
    <p hx-vals='js:{a}'><a href="https://example.org">"""
    assert [name for name, pattern in BANNED_IN_TEMPLATES.items() if not pattern.search(bad)] == []


# --- the flow ---


def addresses():
    """Names of all addresses that end in a view, in order."""

    def walk(patterns):
        for entry in patterns:
            if hasattr(entry, "url_patterns"):
                yield from walk(entry.url_patterns)
            else:
                yield entry.name

    return list(walk(get_resolver().url_patterns))


@pytest.mark.parametrize("name", [step.name for step in STEPS])
def test_each_step_has_its_module_page_and_tests(name):
    expected = [
        f"consult/steps/{name}.py",
        f"templates/consult/{name}.html",
        f"tests/steps/test_{name}.py",
    ]
    assert [path for path in expected if not (ROOT / path).exists()] == []


def test_the_steps_have_addresses_in_the_order_of_the_flow():
    names = [step.name for step in STEPS]
    assert [name for name in addresses() if name in names] == names


# --- what is installed ---


def project():
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def locked(name):
    """Versions by package, each with its marker, as the lock file of that name pins them."""
    pins = {}
    for line in (ROOT / "shop" / "requirements" / name).read_text(encoding="utf-8").splitlines():
        if line and not line.startswith((" ", "#")):
            pin = Requirement(line.rstrip("\\ "))
            pins.setdefault(pin.name, []).append(pin)
    return pins


@pytest.mark.parametrize("lock", ["lock.txt", "test.txt"])
def test_the_lock_satisfies_every_requirement(lock):
    wanted = project()["project"]["dependencies"]
    if lock == "test.txt":
        wanted = wanted + project()["dependency-groups"]["test"]
    pins, here = locked(lock), default_environment()
    wrong = []
    for text in wanted:
        need = Requirement(text)
        found = [p for p in pins.get(need.name, []) if not p.marker or p.marker.evaluate(here)]
        versions = [Version(next(iter(pin.specifier)).version) for pin in found]
        if not versions or not all(need.specifier.contains(v) for v in versions):
            wrong.append(text)
    assert wrong == []


@pytest.mark.parametrize("lock", ["lock.txt", "test.txt"])
def test_the_lock_hashes_every_package_and_names_no_host(lock):
    text = (ROOT / "shop" / "requirements" / lock).read_text(encoding="utf-8")
    blocks = re.split(r"\n(?=\S)", re.sub(r"\n *#[^\n]*", "", text.strip()))
    assert len(blocks) > 20
    assert [block.split("\n")[0] for block in blocks if "--hash=sha256:" not in block] == []
    assert "://" not in text


def test_the_lock_for_tests_holds_the_lock_for_the_shop():
    """Each pin alike; one that the shop needs on some machines the tests may need on all."""
    shop, tests = locked("lock.txt"), locked("test.txt")
    wrong = []
    for name, pins in shop.items():
        everywhere = [f"{pin.name}{pin.specifier}" for pin in pins]
        found = [str(pin) for pin in tests.get(name, [])]
        if found not in ([str(pin) for pin in pins], everywhere):
            wrong.append(name)
    assert wrong == []
