"""The launcher: what it decides, and what it says when an ordinary machine lets it down."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import manage

LOCK = "django==5.2.1 \\\n    --hash=sha256:aa\ntzdata==1.0 ; sys_platform == 'win32' \\\n    --hash=sha256:bb\n"


@pytest.mark.parametrize(
    ("command", "stamp", "kind"),
    [
        ("demo", "", "run"),
        ("test", "", "dev"),
        ("bench", "run 3.11 aa", "dev"),
        ("migrate", "", "run"),
        ("demo", "dev 3.11 aa", "dev"),
    ],
)
def test_a_command_gets_the_least_it_needs_and_never_takes_tools_away(command, stamp, kind):
    assert manage.kind_for(command, stamp) == kind


def test_a_stamp_changes_with_the_lock_the_python_and_the_kind():
    stamps = {
        manage.stamp_for(kind, lock, version)
        for kind in ("run", "dev")
        for lock in (b"a", b"b")
        for version in ((3, 11), (3, 12))
    }

    assert len(stamps) == 8
    assert manage.stamp_for("run", b"a", (3, 11)) == manage.stamp_for("run", b"a", (3, 11))


def test_pins_leave_out_what_only_some_machines_get():
    assert manage.pins_in(LOCK) == {"django": "5.2.1"}


def test_every_lock_has_pins_and_holds_each_to_a_hash():
    for lock in (*manage.LOCKS.values(), manage.INSTALLER_LOCK):
        pinned = [line for line in lock.read_text().splitlines() if "==" in line and not line.lstrip().startswith("#")]

        assert manage.pins_in(lock.read_text())
        assert all(line.endswith("\\") for line in pinned), lock.name
        assert "http" not in lock.read_text()


def test_the_environment_of_the_tests_holds_its_own_lock_and_no_other_version():
    pins = manage.pins_in(manage.LOCKS["dev"].read_text())

    assert manage.holds(pins)
    assert not manage.holds({**pins, "django": "0.1"})
    assert not manage.holds({"no-such-package-anywhere": "1"})


def test_the_lock_of_the_site_is_part_of_the_lock_of_its_tools():
    site, tools = (manage.pins_in(manage.LOCKS[kind].read_text()) for kind in ("run", "dev"))

    assert site.items() <= tools.items()


def test_last_words_are_few():
    said = manage.last_words("\n".join(str(number) for number in range(100)), lines=2)

    assert said == "    98\n    99"


def test_an_old_python_is_told_so(monkeypatch):
    monkeypatch.setattr(manage.sys, "version_info", (3, 9, 1))

    with pytest.raises(manage.TroubleError, match=r"needs Python 3\.11 or newer, and this is 3\.9"):
        manage.prepare("demo")


@pytest.fixture
def bare(tmp_path, monkeypatch):
    """A project with no environment, on a machine where no program succeeds; gives the commands that were tried."""
    monkeypatch.setattr(manage, "ENVIRONMENT", tmp_path / ".venv")
    monkeypatch.setattr(manage, "PYTHON", tmp_path / ".venv/bin/python")
    monkeypatch.setattr(manage, "STAMP", tmp_path / ".venv/.stamp")
    monkeypatch.setattr(manage, "_uv_on_path", lambda: None)
    monkeypatch.setattr(manage, "holds", lambda pins: False)
    tried = []

    def run(command, **options):
        tried.append(" ".join(command))
        fails = "venv" not in command
        return subprocess.CompletedProcess(command, int(fails), stdout="no route to host")

    monkeypatch.setattr(manage.subprocess, "run", run)
    return tried


def test_without_the_venv_module_the_package_to_install_is_named(bare, monkeypatch):
    monkeypatch.setattr(manage.importlib.util, "find_spec", lambda name: None)

    with pytest.raises(manage.TroubleError, match="apt-get install python3-venv"):
        manage.prepare("demo")

    assert bare == []


def test_without_a_network_the_trouble_and_the_way_on_are_told(bare, capsys):
    with pytest.raises(manage.TroubleError, match=r"(?s)no route to host.*network.*same command again"):
        manage.prepare("demo")

    assert "Building the environment" in capsys.readouterr().err
    assert not manage.STAMP.exists()
    installs = [command for command in bare if " install " in command]
    assert installs
    assert all("--require-hashes" in command for command in installs)


def test_a_half_built_environment_is_made_anew(bare, capsys):
    manage.PYTHON.parent.mkdir(parents=True)
    manage.PYTHON.touch()

    with pytest.raises(manage.TroubleError):
        manage.prepare("demo")

    assert "the last building was not finished" in capsys.readouterr().err
    assert "--clear" in bare[0]


def test_a_stale_environment_is_mended_in_place(bare):
    manage.PYTHON.parent.mkdir(parents=True)
    manage.PYTHON.touch()
    manage.STAMP.write_text("run {}.{} 0000".format(*sys.version_info[:2]))

    with pytest.raises(manage.TroubleError):
        manage.prepare("demo")

    assert not any("--clear" in command for command in bare)


def test_somebodys_own_environment_that_has_everything_is_used_as_it_is(bare, monkeypatch):
    monkeypatch.setattr(manage, "holds", lambda pins: True)
    monkeypatch.setattr(manage.sys, "prefix", "/elsewhere")

    manage.prepare("demo")

    assert bare == []


def test_troubles_end_without_a_traceback(monkeypatch):
    def trouble(command):
        raise manage.TroubleError("The sentence.")

    monkeypatch.setattr(manage, "prepare", trouble)

    with pytest.raises(SystemExit, match=r"The sentence\."):
        manage.main()


def test_the_launcher_is_standard_library_only():
    """Until .venv stands there is nothing else. -S leaves site-packages out, -I the rest of the environment."""
    code = f"import sys; sys.path.insert(0, {str(Path(manage.__file__).parent)!r}); import manage"

    subprocess.run([sys.executable, "-I", "-S", "-c", code], check=True)
