"""Setting up: what is installed when, and what a person is told when it cannot be."""

import hashlib
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from server import bootstrap
from server.bootstrap import (
    APP_LOCK,
    PYTHON_TAG,
    ROOT,
    TEST_LOCK,
    Environment,
    SetupFailed,
    apt_install,
    find_chromium,
    provide_chromium,
    succeeds,
)
from tests import postgres_installed


class Machine:
    """Stands in for the commands that create environments and install packages."""

    def __init__(self):
        self.commands = []
        self.broken = set()
        self.interrupted = False

    def __call__(self, command):
        name = self.name(command)
        self.commands.append(name)
        if name == "venv" and "venv" not in self.broken:
            self.create(Path(command[-1]), with_pip="--without-pip" not in command)
        if name == "pip" and self.interrupted:
            raise KeyboardInterrupt
        if name == "install" and name not in self.broken:
            self.broken.discard("venv")
        return name not in self.broken

    @staticmethod
    def name(command):
        tools = [part for part in command if part in ("venv", "pip", "update", "install")]
        return "uv" if "uv" in command else tools[0]

    @staticmethod
    def create(folder, with_pip):
        (folder / "lib" / PYTHON_TAG).mkdir(parents=True, exist_ok=True)
        (folder / "bin").mkdir(exist_ok=True)
        for name in ("python", "pip") if with_pip else ("python",):
            (folder / "bin" / name).touch(mode=0o755)


@pytest.fixture
def machine():
    return Machine()


@pytest.fixture
def lock(tmp_path):
    path = tmp_path / "requirements.lock"
    path.write_text("first")
    return path


@pytest.fixture
def environment(tmp_path, machine):
    return Environment(tmp_path / ".venv", run=machine)


def test_a_first_start_creates_and_fills_the_environment(environment, machine, lock):
    environment.install(lock)
    assert machine.commands == ["venv", "venv", "pip"]
    assert environment.satisfies(lock)


def test_a_second_start_runs_nothing(environment, machine, lock):
    environment.install(lock)
    machine.commands.clear()
    environment.install(lock)
    assert machine.commands == []


def test_a_changed_lock_file_is_installed_into_the_same_environment(environment, machine, lock):
    environment.install(lock)
    machine.commands.clear()
    lock.write_text("second")
    environment.install(lock)
    assert machine.commands == ["pip"]
    assert environment.satisfies(lock)


def test_the_test_packages_bring_those_of_the_app(environment, lock, tmp_path):
    tests = tmp_path / "requirements-test.lock"
    tests.write_text("more")
    environment.install(tests, includes=[lock])
    assert environment.satisfies(lock)


def test_the_packages_of_the_app_are_not_all_that_tests_need(environment, lock, tmp_path):
    tests = tmp_path / "requirements-test.lock"
    tests.write_text("more")
    environment.install(lock)
    assert not environment.satisfies(tests)


@pytest.mark.parametrize("how", ["interrupted", "failed"])
def test_an_installation_that_broke_off_starts_from_nothing(environment, machine, lock, how):
    machine.interrupted, machine.broken = how == "interrupted", {"pip"}
    with pytest.raises((KeyboardInterrupt, SetupFailed)):
        environment.install(lock)
    (environment.folder / "half-a-package").touch()
    assert not environment.satisfies(lock)

    machine.interrupted, machine.broken = False, set()
    environment.install(lock)
    assert environment.satisfies(lock)
    assert not (environment.folder / "half-a-package").exists()


def test_an_environment_of_another_python_is_replaced(environment, machine, lock):
    environment.install(lock)
    (environment.folder / "lib" / PYTHON_TAG).rename(environment.folder / "lib" / "python3.0")
    machine.commands.clear()
    environment.install(lock)
    assert machine.commands == ["venv", "venv", "pip"]


def test_an_environment_made_by_hand_is_kept(environment, machine, lock):
    machine.create(environment.folder, with_pip=True)
    (environment.folder / "a-tool-of-mine").touch()
    environment.install(lock)
    assert machine.commands == ["pip"]
    assert (environment.folder / "a-tool-of-mine").exists()


def test_uv_does_the_installing_where_it_is_found(tmp_path, machine, lock):
    Environment(tmp_path / ".venv", run=machine, uv="uv").install(lock)
    assert machine.commands == ["venv", "uv"]


def test_pip_takes_over_where_uv_fails(tmp_path, machine, lock):
    machine.broken = {"uv"}
    Environment(tmp_path / ".venv", run=machine, uv="uv").install(lock)
    assert machine.commands == ["venv", "uv", "venv", "pip"]


def test_packages_that_cannot_be_had_are_explained(environment, machine, lock):
    machine.broken = {"pip"}
    with pytest.raises(SetupFailed, match="The first start needs the internet"):
        environment.install(lock)


def test_a_python_without_venv_is_told_the_one_line_that_helps(environment, machine, lock):
    machine.broken = {"venv", "update"}
    with pytest.raises(SetupFailed, match=f"sudo apt-get install -y {PYTHON_TAG}-venv"):
        environment.install(lock)


def test_root_on_debian_gets_the_missing_part_of_python_installed(
    environment, machine, lock, tmp_path, monkeypatch
):
    program(tmp_path / "apt-get")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("os.geteuid", lambda: 0)
    machine.broken = {"venv"}
    environment.install(lock)
    assert machine.commands == ["venv", "update", "install", "venv", "venv", "pip"]


def test_nobody_else_has_system_packages_installed_for_them(monkeypatch):
    monkeypatch.setattr("os.geteuid", lambda: 1000)
    assert not apt_install("chromium", run=lambda command: True)


@pytest.mark.thorough
def test_a_real_environment_takes_a_package_only_with_its_hash(tmp_path):
    wheel = tiny_wheel(tmp_path)
    lock = tmp_path / "requirements.lock"
    environment = Environment(tmp_path / ".venv", run=succeeds)

    lock.write_text(f"tiny @ {wheel.as_uri()} --hash=sha256:{'0' * 64}\n")
    with pytest.raises(SetupFailed):
        environment.install(lock)

    digest = hashlib.sha256(wheel.read_bytes()).hexdigest()
    lock.write_text(f"tiny @ {wheel.as_uri()} --hash=sha256:{digest}\n")
    environment.install(lock)
    asked = [environment.python, "-c", "import tiny; print(tiny.WORD)"]
    assert subprocess.run(asked, capture_output=True, text=True).stdout == "verdigris\n"


def test_the_chromium_that_is_named_comes_first(tmp_path, monkeypatch):
    program(tmp_path / "chromium")
    mine = program(tmp_path / "my-chromium")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("CHROMIUM", str(mine))
    assert find_chromium() == str(mine)


def test_a_named_chromium_that_is_missing_is_not_replaced_by_another(tmp_path, monkeypatch):
    program(tmp_path / "chromium")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("CHROMIUM", str(tmp_path / "gone"))
    assert find_chromium() is None


@pytest.mark.parametrize("name", ["chromium-headless-shell", "chromium", "google-chrome"])
def test_chromium_is_found_under_its_usual_names(tmp_path, monkeypatch, name):
    program(tmp_path / name)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CHROMIUM", raising=False)
    assert find_chromium() == str(tmp_path / name)


def test_browser_without_windows_comes_before_the_whole_one(tmp_path, monkeypatch):
    shell = program(tmp_path / "chromium-headless-shell")
    program(tmp_path / "chromium")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CHROMIUM", raising=False)
    assert find_chromium() == str(shell)


def test_a_missing_chromium_is_fetched_and_found(tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CHROMIUM", raising=False)

    def fetch(command):
        return bool(program(tmp_path / "chromium")) if "playwright" in command else False

    assert provide_chromium(program(tmp_path / "python"), fetch) == str(tmp_path / "chromium")


def test_tests_do_not_go_on_without_a_browser(tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CHROMIUM", raising=False)
    with pytest.raises(SetupFailed, match="sudo apt-get install -y chromium"):
        provide_chromium(program(tmp_path / "python"), run=lambda command: False)


def test_a_named_chromium_that_is_missing_is_refused_by_name(monkeypatch):
    monkeypatch.setenv("CHROMIUM", "/gone/chromium")
    with pytest.raises(SetupFailed, match="CHROMIUM is “/gone/chromium”"):
        provide_chromium(Path("python"), run=lambda command: True)


def test_run_passes_over_a_python_that_is_too_old(tmp_path):
    program(tmp_path / "python3", "exit 1")
    program(tmp_path / "python3.12", '[ "$1" = -c ] || echo "3.12 runs $2 with $3"')
    told = run_script(tmp_path, "--port")
    assert told.stdout == f"3.12 runs {ROOT}/server/bootstrap.py with --port\n"


def test_run_says_which_python_it_needs(tmp_path):
    told = run_script(tmp_path)
    assert told.returncode == 1
    assert "Python 3.11 or newer" in told.stderr


def test_help_comes_without_installing_anything(tmp_path):
    skip = shutil.ignore_patterns("__pycache__")
    shutil.copytree(ROOT / "server", tmp_path / "server", ignore=skip)
    bootstrap = tmp_path / "server" / "bootstrap.py"
    told = subprocess.run([sys.executable, bootstrap, "--help"], capture_output=True, text=True)
    assert "./run backup [--data DIR] FILE" in told.stdout
    assert not (tmp_path / ".venv").exists()


@pytest.mark.parametrize("lock", [APP_LOCK, TEST_LOCK], ids=lambda path: path.name)
def test_a_lock_file_names_no_registry_and_has_a_hash_for_all(lock):
    text = lock.read_text(encoding="utf-8")
    assert "://" not in text
    packages = [block for block in text.split("\n") if "==" in block]
    assert packages
    assert all(line.endswith("\\") for line in packages)


def test_tests_run_against_the_very_packages_of_the_app():
    assert pins(APP_LOCK) <= pins(TEST_LOCK)


def pins(lock):
    """Name and version; on which machines a package is asked for may differ."""
    lines = lock.read_text(encoding="utf-8").splitlines()
    return {line.rstrip(" \\").partition(" ;")[0] for line in lines if "==" in line}


def program(path, script="exit 0"):
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(0o755)
    return path


def run_script(folder, *arguments):
    (folder / "dirname").symlink_to(shutil.which("dirname"))
    environment = {"PATH": str(folder)}
    command = ["/bin/sh", ROOT / "run", *arguments]
    return subprocess.run(command, capture_output=True, text=True, env=environment)


def tiny_wheel(folder):
    files = {
        "tiny.py": "WORD = 'verdigris'\n",
        "tiny-1.0.dist-info/METADATA": "Metadata-Version: 2.1\nName: tiny\nVersion: 1.0\n",
        "tiny-1.0.dist-info/WHEEL": "Wheel-Version: 1.0\nTag: py3-none-any\n",
        "tiny-1.0.dist-info/RECORD": "",
    }
    wheel = folder / "tiny-1.0-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return wheel


@pytest.mark.parametrize(
    ("arguments", "settings", "extras"),
    [
        ([], {}, []),
        ([], {"NINEFIFTY_DATABASE": ""}, []),
        ([], {"NINEFIFTY_DATABASE": "postgresql+psycopg://bar"}, ["school"]),
        (["--people"], {}, ["school"]),
        ([], {"NINEFIFTY_FILES": "s3://bar"}, ["files"]),
        (["--speech-model=here"], {"NINEFIFTY_PEOPLE": "on"}, ["speech", "school"]),
        (["--speech"], {}, ["speech"]),
        (["fetch-speech"], {}, ["speech"]),
    ],
)
def test_a_setting_brings_the_packages_it_needs(arguments, settings, extras):
    assert bootstrap.wanted_extras(arguments, settings) == extras


def test_every_extra_has_its_lock_file():
    assert all(bootstrap.extra_lock(extra).is_file() for extra in bootstrap.EXTRAS)


def test_one_extra_after_another_leaves_all_satisfied(environment, lock, tmp_path):
    extras = [tmp_path / "requirements-speech.lock", tmp_path / "requirements-school.lock"]
    for at, extra in enumerate(extras):
        extra.write_text(extra.name)
        environment.install(extra, includes=[lock, *extras[:at]])
    assert all(environment.satisfies(each) for each in (lock, *extras))


@pytest.fixture
def without_postgres(tmp_path, monkeypatch):
    """A root on Debian without PostgreSQL; `settings` is where its package keeps its own."""
    settings = tmp_path / "createcluster.conf"
    settings.write_text("# as Debian has it\n")
    (tmp_path / "bin").mkdir()
    monkeypatch.setenv("PATH", str(program(tmp_path / "bin" / "apt-get").parent))
    monkeypatch.setattr(postgres_installed, "DEBIAN_POSTGRES", tmp_path / "postgresql")
    monkeypatch.setattr(postgres_installed, "CLUSTER_SETTINGS", settings)
    monkeypatch.setattr("os.geteuid", lambda: 0)
    return settings


def test_postgresql_is_installed_without_a_server_that_starts_by_itself(
    without_postgres, tmp_path, capsys
):
    set_up = []

    def apt(command):
        if command[-1] == "postgresql":
            set_up.append(without_postgres.read_text())
            (tmp_path / "postgresql" / "15" / "bin").mkdir(parents=True)
            program(tmp_path / "postgresql" / "15" / "bin" / "initdb")
        return True

    assert postgres_installed.provide_postgres(apt)
    assert set_up == ["create_main_cluster = false\n"]
    assert without_postgres.read_text() == "# as Debian has it\n"


def test_without_postgresql_it_is_said_what_is_not_tested(without_postgres, capsys):
    assert not postgres_installed.provide_postgres(lambda command: False)
    said = capsys.readouterr().out
    assert "nothing is tested on it" in said
    assert "sudo apt-get install -y postgresql" in said
