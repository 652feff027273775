"""The two commands on machines that lack something: every other program on them is a stand-in that we write here."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from places import BUILD_SCRIPTS, ROOT

OLD = "sys.version_info = (3, 10, 14, 'final', 0)"
NEW = "sys.version_info = (3, 12, 5, 'final', 0)"
NO_VENV = "sys.version_info = (3, 12, 5, 'final', 0); sys.modules['ensurepip'] = None"
SUDO = "sudo sh -c 'apt-get update && apt-get install -y --no-install-recommends {}'"


def on_debian() -> bool:
    release = Path("/etc/os-release")
    return release.is_file() and "ID=debian" in release.read_text().splitlines()


def stub(path: Path, body: str) -> None:
    path.write_text(f"#!/bin/sh\n{body}\n")
    path.chmod(0o755)


def python_stub(change: str) -> str:
    """Write a Python that answers `-c` as the real one would after a change, and else tells how it was called."""
    real = f'{shlex.quote(sys.executable)} -S -c "import sys; {change}; exec(sys.argv[1])" "$2"'
    return f'if [ "$1" = -c ]; then exec {real}; fi; echo "$0 ran:"; printf "<%s>\\n" "$@"; echo "CHROMIUM=$CHROMIUM"'


@dataclass
class Machine:
    """A machine that has only the programs that the test gives it."""

    home: Path
    programs: Path = field(init=False)
    libraries: Path = field(init=False)
    system: Path = field(init=False)
    """Where the system's own programs lie."""

    def __post_init__(self) -> None:
        self.programs = self.home / "programs"
        self.programs.mkdir()
        self.libraries = self.home / "libraries"
        self.libraries.mkdir()
        self.system = self.home / "system"
        self.system.mkdir()
        (self.libraries / "libatomic.so.1").touch()
        self.user(1000)
        self.give("sed", f'exec {shutil.which("sed")} "$@"')

    def give(self, name: str, body: str) -> None:
        stub(self.programs / name, body)

    def user(self, number: int) -> None:
        self.give("id", f"echo {number}")

    def give_apt(self, *, delivers: dict[str, str]) -> None:
        """Give an apt-get that notes its calls and, when asked to install, lays the given programs down."""
        body = f'echo "$DEBIAN_FRONTEND: $*" >> "{self.home}/apt.log"\n[ "$1" = install ] || exit 0\n'
        for name, text in delivers.items():
            stub(self.home / f"delivered-{name}", text)
            body += f'{shutil.which("mv")} "{self.home}/delivered-{name}" "{self.programs}/{name}"\n'
        self.give("apt-get", body)

    def apt_calls(self) -> list[str]:
        log = self.home / "apt.log"
        return log.read_text().splitlines() if log.exists() else []

    def run(self, script: Path | str, *words: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
        environment = {"PATH": str(self.programs), "HOME": str(self.home), "LIBRARIES": str(self.libraries)}
        environment["SYSTEM_PROGRAMS"] = str(self.system)
        command = ["/bin/sh", str(script), *words]
        return subprocess.run(command, env=environment, cwd=cwd or self.home, capture_output=True, text=True)


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    return Machine(tmp_path)


def test_an_old_python_is_refused_and_nothing_is_installed(machine: Machine) -> None:
    machine.user(0)
    machine.give("python3", python_stub(OLD))
    machine.give_apt(delivers={})
    done = machine.run(BUILD_SCRIPTS / "serve")
    assert done.returncode != 0
    assert "needs Python 3.11 or newer; python3 3.10.14 is too old" in done.stderr
    assert "ran:" not in done.stdout
    assert machine.apt_calls() == []


def test_a_newer_python_beside_an_old_one_is_taken(machine: Machine) -> None:
    machine.give("python3", python_stub(OLD))
    machine.give("python3.12", python_stub(NEW))
    done = machine.run(BUILD_SCRIPTS / "serve", "--port", "8111")
    assert done.returncode == 0, done.stderr
    assert "/python3.12 ran:" in done.stdout
    assert f"<{BUILD_SCRIPTS / 'serve.py'}>\n<--port>\n<8111>\n" in done.stdout


def test_a_name_that_does_not_run_is_passed_over(machine: Machine) -> None:
    machine.give("python3", "exit 127")
    machine.give("python3.11", python_stub("pass"))
    assert "/python3.11 ran:" in machine.run(BUILD_SCRIPTS / "serve").stdout


@pytest.mark.skipif(not Path("/etc/os-release").is_file(), reason="only Linux has a Python of its own that is quicker")
@pytest.mark.parametrize("change", [NEW, OLD, NO_VENV])
def test_the_systems_own_python_goes_first_if_it_will_do(machine: Machine, change: str) -> None:
    machine.give("python3", python_stub(NEW))
    stub(machine.system / "python3", python_stub(change))
    folder = machine.system if change == NEW else machine.programs
    assert f"{folder}/python3 ran:" in machine.run(BUILD_SCRIPTS / "serve").stdout


@pytest.mark.parametrize(
    ("command", "python", "names"),
    [
        ("serve", None, "python3 python3-venv"),
        ("check", None, "python3 python3-venv chromium"),
        ("serve", NO_VENV, "python3 python3-venv"),
        ("check", NEW, "chromium"),
    ],
)
def test_without_the_right_to_install_the_command_to_type_is_given(
    machine: Machine, command: str, python: str | None, names: str
) -> None:
    machine.give_apt(delivers={})
    if python:
        machine.give("python3", python_stub(python))
    done = machine.run(BUILD_SCRIPTS / command)
    assert done.returncode != 0
    assert SUDO.format(names) in done.stderr
    assert "ran:" not in done.stdout
    assert machine.apt_calls() == []


def test_root_of_another_system_is_told_too(machine: Machine) -> None:
    machine.user(0)
    machine.give("python3", python_stub(NEW))
    machine.give("pacman", "exit 9")
    done = machine.run(BUILD_SCRIPTS / "check")
    assert done.returncode == 1
    assert "sudo pacman -S chromium" in done.stderr


def test_root_on_debian_gets_what_is_missing(machine: Machine) -> None:
    machine.user(0)
    machine.give_apt(delivers={"python3": python_stub(NEW), "chromium": "exit 0"})
    done = machine.run(BUILD_SCRIPTS / "check", "-k", "a b")
    if not on_debian():  # there the same machine is told what to type
        assert done.returncode != 0
        assert SUDO.format("python3 python3-venv chromium") in done.stderr
        return
    assert done.returncode == 0, done.stderr
    update, install = machine.apt_calls()
    assert update.endswith(": update")
    assert install == "noninteractive: install -y --no-install-recommends python3 python3-venv chromium"
    assert f"<{BUILD_SCRIPTS / 'check.py'}>\n<-k>\n<a b>\n" in done.stdout
    assert f"CHROMIUM={machine.programs / 'chromium'}" in done.stdout


@pytest.mark.skipif(not on_debian(), reason="only Debian's own names are chosen between")
def test_root_on_debian_gets_the_browser_without_windows_too_where_there_is_one(machine: Machine) -> None:
    machine.user(0)
    delivers = {"python3": python_stub(NEW), "chromium": "exit 0", "chromium-headless-shell": "exit 0"}
    machine.give_apt(delivers=delivers)
    machine.give("apt-cache", '[ "$*" = "show chromium-headless-shell" ]')
    done = machine.run(BUILD_SCRIPTS / "check")
    assert done.returncode == 0, done.stderr
    assert machine.apt_calls()[1].endswith(" python3 python3-venv chromium chromium-headless-shell")
    assert f"CHROMIUM={machine.programs / 'chromium'}" in done.stdout


@pytest.mark.skipif(not on_debian(), reason="only Debian's own names are chosen between")
@pytest.mark.parametrize("known", [True, False])
def test_root_on_debian_gets_it_where_chromium_was_there_before(machine: Machine, *, known: bool) -> None:
    """Once, and only where Debian's lists have it."""
    machine.user(0)
    machine.give("python3", python_stub(NEW))
    machine.give("chromium", "exit 0")
    machine.give_apt(delivers={"chromium-headless-shell": "exit 0"})
    machine.give("apt-cache", "exit 0" if known else "exit 100")
    for _ in range(2):
        assert machine.run(BUILD_SCRIPTS / "check").returncode == 0
    wanted = "noninteractive: install -y --no-install-recommends chromium-headless-shell"
    assert machine.apt_calls() == ([wanted] if known else [])


@pytest.mark.skipif(not on_debian(), reason="only Debian's own names are chosen between")
def test_the_checks_go_on_without_it(machine: Machine) -> None:
    machine.user(0)
    machine.give("python3", python_stub(NEW))
    machine.give("chromium", "exit 0")
    machine.give("apt-cache", "exit 0")
    machine.give("apt-get", "exit 100")
    done = machine.run(BUILD_SCRIPTS / "check")
    assert done.returncode == 0
    assert "It could not be installed; the checks take longer without it." in done.stderr
    assert f"CHROMIUM={machine.programs / 'chromium'}" in done.stdout


@pytest.mark.skipif(not on_debian(), reason="the library is looked for on Debian only")
def test_the_library_that_playwright_wants_is_among_what_is_missing(machine: Machine) -> None:
    machine.user(0)
    machine.give_apt(delivers={"chromium": "exit 0"})
    machine.give("python3", python_stub(NEW))
    machine.libraries = machine.home / "no libraries"
    done = machine.run(BUILD_SCRIPTS / "check")
    assert done.returncode != 0  # the stand-in for apt-get does not bring it
    assert machine.apt_calls()[1].endswith(" chromium libatomic1")
    assert "Still missing after apt-get: libatomic1." in done.stderr


def test_serving_asks_for_no_browser(machine: Machine) -> None:
    machine.user(0)
    machine.give_apt(delivers={})
    machine.give("python3", python_stub(NEW))
    assert machine.run(BUILD_SCRIPTS / "serve").returncode == 0
    assert machine.apt_calls() == []


def test_what_cannot_be_installed_stops_the_command(machine: Machine) -> None:
    machine.user(0)
    machine.give("python3", python_stub(NEW))
    machine.give("apt-get", '[ "$1" = update ]')
    done = machine.run(BUILD_SCRIPTS / "check")
    assert done.returncode != 0
    assert "ran:" not in done.stdout


@pytest.mark.parametrize(
    ("script", "program"),
    [("build_scripts/serve", "serve"), ("build_scripts/publish", "publish"), (".ci/run", "check")],
)
def test_from_any_folder_and_a_path_with_spaces(machine: Machine, script: str, program: str) -> None:
    project = machine.home / "a path" / "with spaces"
    (project / "build_scripts").mkdir(parents=True)
    (project / ".ci").mkdir()
    commands = ("serve", "publish", "check", "machine.sh")
    for name in (*(f"build_scripts/{command}" for command in commands), ".ci/run"):
        shutil.copyfile(ROOT / name, project / name)
    machine.give("python3", python_stub(NEW))
    machine.give("chromium", "exit 0")
    machine.give("sh", 'exec /bin/sh "$@"')
    start = project / script
    for folder, name in ((machine.home, os.path.relpath(start, machine.home)), (start.parent, start.name)):
        done = machine.run(name, cwd=folder)
        assert done.returncode == 0, done.stderr
        ran = next(line for line in done.stdout.splitlines() if line.startswith("<"))
        assert Path(ran.strip("<>")).resolve() == project / "build_scripts" / f"{program}.py"
