#!/usr/bin/env python3
"""Django's commands, and the launcher that builds the environment they need.

Standard library only until `.venv` stands, so that a bare machine needs nothing but Python:
`.venv` is built from a lock whose every file is held to its hash, then the same command goes on inside it.
"""

from __future__ import annotations

import fcntl
import hashlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import time
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parent
ENVIRONMENT = ROOT / ".venv"
PYTHON = ENVIRONMENT / "bin" / "python"
STAMP = ENVIRONMENT / ".stamp"
OLDEST_PYTHON = (3, 11)
LOCKS = {"run": ROOT / "requirements.lock", "dev": ROOT / "requirements-dev.lock"}
INSTALLER_LOCK = ROOT / "requirements-installer.lock"
NEED_DEV = {"test", "bench"}


class TroubleError(Exception):
    """Something that happens on ordinary machines; its text is what the person is told."""


def _dotted(version: tuple[int, ...]) -> str:
    return ".".join(str(number) for number in version[:2])


def kind_for(command: str, stamp: str) -> str:
    """The environment a command needs: "run" or "dev". One that was "dev" stays so."""
    return "dev" if command in NEED_DEV or stamp.startswith("dev ") else "run"


def stamp_for(kind: str, lock: bytes, version: tuple[int, int]) -> str:
    """What a finished environment of this kind says of itself: kind, Python and the lock it came from."""
    return f"{kind} {_dotted(version)} {hashlib.sha256(lock).hexdigest()}"


def pins_in(lock: str) -> dict[str, str]:
    """Package to version, of those that every machine gets (no marker behind the version)."""
    return dict(re.findall(r"^([\w.-]+)==(\S+) \\$", lock, re.MULTILINE))


def holds(pins: dict[str, str]) -> bool:
    """True if the Python running now has every one of these packages at its version."""
    try:
        return all(metadata.version(name) == version for name, version in pins.items())
    except metadata.PackageNotFoundError:
        return False


def last_words(output: str, lines: int = 6) -> str:
    """The end of what a program said, indented, for a person to read."""
    return "\n".join("    " + line for line in output.strip().splitlines()[-lines:])


def _read_stamp() -> str:
    return STAMP.read_text() if STAMP.is_file() and PYTHON.exists() else ""


def _step(words: str, *command: object) -> tuple[bool, str]:
    """Run one step of the building; say what it is and how long it took. Returns success and output."""
    print(f"  {words} ...", end="", flush=True, file=sys.stderr)
    began = time.monotonic()
    environment = {"PIP_RETRIES": "1", "PIP_DISABLE_PIP_VERSION_CHECK": "1", **os.environ}
    done = subprocess.run(
        [str(part) for part in command],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    print(f" {time.monotonic() - began:.0f} s{'' if done.returncode == 0 else ', failed'}", file=sys.stderr)
    return done.returncode == 0, done.stdout


def _uv_on_path() -> str | None:
    """A uv that really runs: a version manager can leave one on the path that does not."""
    uv = shutil.which("uv")
    runs = uv and subprocess.run([uv, "--version"], capture_output=True, check=False).returncode == 0
    return uv if runs else None


def _install(lock: Path) -> None:
    """Install a lock into the environment: with uv, else with a pinned uv fetched by pip, else with pip alone."""
    many = f"{len(pins_in(lock.read_text()))} packages"
    from_lock = ("--require-hashes", "-r", lock)
    said = ""
    uv = _uv_on_path()
    if uv:
        done, said = _step(f"installing {many}", uv, "pip", "install", "--python", PYTHON, *from_lock)
        if done:
            return
    if importlib.util.find_spec("ensurepip"):
        pip = (PYTHON, "-m", "pip", "install")
        _step("preparing pip", PYTHON, "-m", "ensurepip")
        done, said = _step("fetching the installer, uv", *pip, "--require-hashes", "-r", INSTALLER_LOCK)
        if done:
            own_uv = PYTHON.with_name("uv")
            done, said = _step(f"installing {many}", own_uv, "pip", "install", "--python", PYTHON, *from_lock)
        if not done:  # no uv for this machine, or one that does not know its certificates
            done, said = _step(f"installing {many} with pip", *pip, *from_lock)
        if done:
            return
    raise TroubleError(
        "The packages could not be installed. The last lines of the installer:\n"
        f"{last_words(said)}\n"
        "Most often this machine cannot reach a package index: look at the network, or at the proxy or mirror\n"
        "that pip and uv are told to use. Then give the same command again; nothing else is needed."
    )


def _build(kind: str) -> None:
    """Make or mend the environment. The stamp is taken off first and put on last: without it, it is half-built."""
    version = sys.version_info[:2]
    stamp = stamp_for(kind, LOCKS[kind].read_bytes(), version)
    with Path(__file__).open() as turn:
        fcntl.flock(turn, fcntl.LOCK_EX)  # a second run waits here, then finds the work done
        found = _read_stamp()
        if found == stamp:
            return
        if not (_uv_on_path() or importlib.util.find_spec("ensurepip")):
            raise TroubleError(
                "This Python comes without its venv module. On Debian: sudo apt-get install python3-venv\n"
                "Then give the same command again."
            )
        half_built = ENVIRONMENT.exists() and not found
        again = "Again from the start: the last building was not finished. " if half_built else ""
        print(f"{again}Building the environment in .venv (once, about a minute) ...", file=sys.stderr)
        STAMP.unlink(missing_ok=True)
        if found.split()[1:2] != [_dotted(version)]:
            base = getattr(sys, "_base_executable", sys.executable)
            done, said = _step("making .venv", base, "-m", "venv", "--clear", "--without-pip", ENVIRONMENT)
            if not done:
                raise TroubleError(f"The environment could not be made in {ENVIRONMENT}:\n{last_words(said)}")
        _install(LOCKS[kind])
        STAMP.write_text(stamp)


def prepare(command: str) -> None:
    """See to it that the command goes on in an environment that fits the lock. Raises TroubleError."""
    if sys.version_info < OLDEST_PYTHON:
        raise TroubleError(
            f"This needs Python {_dotted(OLDEST_PYTHON)} or newer, and this is {_dotted(sys.version_info[:2])}."
        )
    found = _read_stamp()
    kind = kind_for(command, found)
    is_inside = ENVIRONMENT.exists() and ENVIRONMENT.samefile(sys.prefix)
    if found != stamp_for(kind, LOCKS[kind].read_bytes(), sys.version_info[:2]):
        if sys.prefix != sys.base_prefix and holds(pins_in(LOCKS[kind].read_text())):
            return  # somebody's own environment, and it has all that is needed
        _build(kind)
        is_inside = False
    if not is_inside:
        os.execv(PYTHON, [str(PYTHON), *sys.argv])


def main() -> None:
    try:
        prepare(sys.argv[1] if len(sys.argv) > 1 else "help")
    except TroubleError as trouble:
        sys.exit(str(trouble))
    except KeyboardInterrupt:
        sys.exit("\nStopped. Give the same command again to go on.")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "courses.settings")
    from django.core.management import execute_from_command_line  # noqa: PLC0415  (only there once .venv stands)

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
