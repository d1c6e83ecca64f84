"""The rules of the house: sizes of modules and functions, names that stand once, no circles."""

import ast
import io
import re
import sys
import tokenize
import tomllib
from bisect import bisect_left, bisect_right
from collections import defaultdict
from functools import cache
from pathlib import Path

from tests.read_code import nodes_of, tree_of

TESTS = Path(__file__).parent
PACKAGE = TESTS.parent / "edgetest"

MOST_LINES_OF_A_MODULE = 350
MOST_CODE_LINES = 60
MOST_COMPLEXITY = 15
MOST_ARGUMENTS = 8
# A made picture is described by all that is in it: one long call says it best.
LONG_BY_NATURE = "photo/render/"

# A name that may stand in two modules, and why.
DOUBLED_ON_PURPOSE: dict[str, str] = {
    "read_log": "the verb of a notebook, and the reading of the table that it makes",
    "show": "every page of the app is opened by its show()",
}

FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)
DOCUMENTED = (*FUNCTION, ast.ClassDef, ast.Module)
LAYOUT = {
    tokenize.COMMENT,
    tokenize.NL,
    tokenize.NEWLINE,
    tokenize.INDENT,
    tokenize.DEDENT,
    tokenize.ENDMARKER,
}
# Folders of tests that answer to no one room.
TESTS_OF_THE_WHOLE = {"reference", "benchmarks", "browser", "guide"}
# Files that hold a room, or the repository, to something that no one module answers for.
TESTS_OF_A_ROOM = {
    "test_nightly.py",
    "test_addresses.py",
    "test_formats_guide.py",
    "test_front_door.py",
    "test_front_door_options.py",
    "test_front_door_pictures.py",
    "test_house.py",
    "test_layering.py",
    "test_wheel.py",
    "cli/test_any_input.py",
    "cli/test_contracts.py",
    "cli/test_contracts_doubts.py",
    "cli/test_mistakes.py",
    "cli/test_guide_stories.py",
    "cli/test_readme_stories.py",
    "study/steel/test_cases_read.py",
    "study/steel/test_written_cases.py",
    "study/test_main_job.py",
    "verbs/test_verbs_equal_commands.py",
    "verbs/test_verbs_examples.py",
    "verbs/test_verbs_guide.py",
}


def path_of(module):
    """Path of a module below the package, as it is written here."""
    return module.relative_to(PACKAGE).as_posix()


@cache
def modules():
    """Each module's path, source and syntax tree."""
    found = []
    for module in sorted(PACKAGE.rglob("*.py")):
        source = module.read_text(encoding="utf-8")
        found.append((module, source, tree_of(module)))
    return found


@cache
def code_lines(source, tree):
    """Numbers of the lines that hold code: no docstring, no comment, no blank line, in order."""
    told = set()
    for node in nodes_of(tree):
        if isinstance(node, DOCUMENTED) and ast.get_docstring(node, clean=False) is not None:
            told.update(range(node.body[0].lineno, node.body[0].end_lineno + 1))
    held = set()
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type not in LAYOUT:
            held.update(range(token.start[0], token.end[0] + 1))
    return sorted(held - told)


def length_of(node, source, tree):
    """Code lines of a function; all its lines where even those are few enough."""
    lines = node.end_lineno - node.lineno + 1
    if lines <= MOST_CODE_LINES:
        return lines
    held = code_lines(source, tree)
    return bisect_right(held, node.end_lineno) - bisect_left(held, node.lineno)


def complexity(function):
    """Ways through a function: one, and one more for each place where the way may part."""
    ways = 1
    parts = (ast.If, ast.For, ast.AsyncFor, ast.While, ast.IfExp, ast.ExceptHandler, ast.Assert)
    for statement in function.body:
        for node in ast.walk(statement):
            if isinstance(node, (*parts, ast.match_case)):
                ways += 1
            elif isinstance(node, ast.comprehension):
                ways += 1 + len(node.ifs)
            elif isinstance(node, ast.BoolOp):
                ways += len(node.values) - 1
    return ways


def arguments(function):
    """How many arguments a caller can give."""
    given = function.args
    count = len(given.posonlyargs) + len(given.args) + len(given.kwonlyargs)
    count += (given.vararg is not None) + (given.kwarg is not None)
    return count - (bool(given.args) and given.args[0].arg in ("self", "cls"))


@cache
def functions():
    """Each function: its name with its module, code lines, complexity and arguments."""
    found = []
    for module, source, tree in modules():
        for node in nodes_of(tree):
            if isinstance(node, FUNCTION):
                name = f"{path_of(module)} {node.name}"
                length = length_of(node, source, tree)
                found.append((name, length, complexity(node), arguments(node)))
    return found


def hold(rule, offenders):
    """Nobody breaks a rule."""
    assert not list(offenders), f"{rule}: {sorted(offenders)}"


def test_no_module_is_long():
    long = [
        path_of(module)
        for module, source, _ in modules()
        if source.count("\n") > MOST_LINES_OF_A_MODULE
    ]
    hold("module too long: a second question moved in", long)


def test_no_function_is_long():
    hold(
        "function too long",
        [
            name
            for name, length, _, _ in functions()
            if length > MOST_CODE_LINES and not name.startswith(LONG_BY_NATURE)
        ],
    )


def test_no_function_is_a_maze():
    hold(
        "function with too many ways through",
        [name for name, _, ways, _ in functions() if ways > MOST_COMPLEXITY],
    )


def test_no_function_takes_many_arguments():
    hold(
        "function with too many arguments: let options travel in a frozen dataclass",
        [
            name
            for name, _, _, count in functions()
            if count > MOST_ARGUMENTS and not name.startswith(LONG_BY_NATURE)
        ],
    )


def test_no_module_name_stands_twice():
    places = defaultdict(list)
    for module, _, _ in modules():
        if module.stem != "__init__":
            places[module.stem].append(path_of(module))
    hold("module name twice", [name for name, where in places.items() if len(where) > 1])


def test_one_public_name_is_one_thing():
    places = defaultdict(set)
    for module, _, tree in modules():
        for node in tree.body:
            if isinstance(node, (*FUNCTION, ast.ClassDef)) and not node.name.startswith("_"):
                places[node.name].add(path_of(module))
    doubled = {name for name, where in places.items() if len(where) > 1}
    idle = set(DOUBLED_ON_PURPOSE) - doubled
    assert not idle, f"strike these off the list, they stand once: {sorted(idle)}"
    hold("public name twice", doubled - set(DOUBLED_ON_PURPOSE))


def imported(tree, names):
    """Modules of the package that a tree imports, wherever in it the import stands."""
    for node in nodes_of(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in names)
        elif isinstance(node, ast.ImportFrom) and node.module in names:
            inner = {f"{node.module}.{alias.name}" for alias in node.names} & names
            yield from inner or {node.module}


def test_modules_import_in_no_circle():
    dotted = {}
    for module, _, tree in modules():
        parts = module.relative_to(PACKAGE.parent).with_suffix("").parts
        dotted[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = tree
    reach = {name: set(imported(tree, dotted.keys())) - {name} for name, tree in dotted.items()}
    # Whoever imports nothing that is left can be laid aside; a circle is what stays.
    while free := [name for name, others in reach.items() if not others]:
        for name in free:
            del reach[name]
        for others in reach.values():
            others.difference_update(free)
    # What only imports a circle is not in it.
    while idle := set(reach) - set().union(*reach.values()):
        for name in idle:
            del reach[name]
    hold("import circle", reach)


def rooms():
    return sorted(path.parent for path in PACKAGE.rglob("__init__.py"))


def room_problems(room):
    """What a room's docstring lacks, in words."""
    docstring = ast.get_docstring(ast.parse((room / "__init__.py").read_text(encoding="utf-8")))
    if not docstring:
        yield "says nothing"
        return
    most = 12 if room == PACKAGE else 7  # the front door shows how it is used
    if not 2 <= (lines := docstring.count("\n") + 1) <= most:
        yield f"{lines} lines, where 2 to {most} tell the question and the first module to open"
    for name in re.findall(r"`([a-z][a-z_]*(?:\.\w+)*)`", docstring):
        if not module_named(name, room):
            yield f"`{name}` names no module"


def test_each_room_says_its_question():
    for room in rooms():
        place = room.relative_to(PACKAGE.parent).as_posix()
        if problems := list(room_problems(room)):
            print(place, problems)
    hold(
        "room without a true docstring",
        [r.relative_to(PACKAGE.parent).as_posix() for r in rooms() if any(room_problems(r))],
    )


def module_named(name, room):
    """Whether a name in a room's docstring leads to a module, from the room or from the package."""
    first, *rest = name.split(".")
    for base in (room, *(p for p in room.parents if p == PACKAGE or PACKAGE in p.parents)):
        module = base.joinpath(first)
        if module.with_suffix(".py").exists() or module.is_dir():
            return not rest or module.is_dir() or rest[0] in module.with_suffix(".py").read_text()
    return False


def test_tests_mirror_the_rooms():
    """tests/a/test_b.py or tests/a/test_b_<claim>.py holds the tests of edgetest/a/b.py."""
    astray = []
    for path in TESTS.rglob("test_*.py"):
        name = path.relative_to(TESTS).as_posix()
        room = path.relative_to(TESTS).parent
        if (room.parts and room.parts[0] in TESTS_OF_THE_WHOLE) or name in TESTS_OF_A_ROOM:
            continue
        names = [module.stem for module in (PACKAGE / room).glob("*.py")]
        claim = path.stem.removeprefix("test_")
        if not any(claim == module or claim.startswith(f"{module}_") for module in names):
            astray.append(name)
    hold("tests of no module", astray)


def developers_table(heading):
    """Rows of a table of DEVELOPERS.md, as lists of what stands in backticks or plain, by cell."""
    text = (TESTS.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = text.split(f"| {heading} |")[1].split("\n\n")[0].splitlines()[2:]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows]


def test_the_map_leads_to_every_room_and_its_first_file():
    mapped, astray = set(), []
    for names, _, first in developers_table("room"):
        for name in re.findall(r"`([\w/]+)`", names):
            mapped.add(name.rstrip("/"))
            if name.endswith("/"):
                files = re.findall(r"`(\w+\.py)`", first)
                astray += [
                    f"{name}{file}" for file in files if not (PACKAGE / name / file).exists()
                ]
                assert files, f"no first file is named for {name}"
            elif not (PACKAGE / f"{name}.py").exists():
                astray.append(name)
    assert astray == []
    holding = {path_of(room.parent) for room in PACKAGE.rglob("__init__.py")} - {"."}
    inner = {room for room in holding if any(other.startswith(f"{room}/") for other in holding)}
    unmapped = {room for room in holding - inner if not any(room.startswith(m) for m in mapped)}
    assert unmapped == set()


BRINGS = ("pydantic_core", "starlette")  # parts of pydantic and of streamlit


def test_the_dependencies_are_those_that_the_package_imports():
    project = tomllib.loads((TESTS.parent / "pyproject.toml").read_text(encoding="utf-8"))
    asked_for = project["project"]["optional-dependencies"]["cluster"]
    needed = [*project["project"]["dependencies"], *asked_for]
    declared = {re.match(r"[\w-]+", entry)[0] for entry in needed}
    imported_as = {"opencv-python-headless": "cv2", "pillow": "PIL"}
    used = set()
    for _, _, tree in modules():
        for node in nodes_of(tree):
            if isinstance(node, ast.Import):
                used.update(alias.name.split(".")[0] for alias in node.names)
            elif isinstance(node, ast.ImportFrom):
                used.add((node.module or "").split(".")[0])
    called = {imported_as.get(name, name.replace("-", "_")) for name in declared}
    foreign = used - set(sys.stdlib_module_names) - {"edgetest", *BRINGS}
    assert foreign <= called, f"imported and not declared: {sorted(foreign - called)}"
    hold("dependency that nothing imports", called - foreign)
    rows = developers_table("package")
    told = {word for row in rows for word in re.findall(r"[a-z][\w-]+", row[0])}
    assert declared == told
