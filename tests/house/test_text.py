"""Words and addresses that no file of the project carries. They are put together here, or this file would carry them."""

from __future__ import annotations

import re

from tests.house.reading import ROOT, files

HOSTS = ("pypi." + "org", "python" + "hosted", "registry." + "npmjs", "npmjs." + "org", "deb." + "debian")
MACHINE = ("/wo" + "rk/", "/r" + "oot/", "/fa" + "rm/", "/ho" + "me/")
WORDS = ("tran" + "script", "a" + "gent", "suba" + "gent", "language " + "model", "L" + "LM", "seed " + "document")
BANNED = re.compile(
    "|".join(
        [
            *map(re.escape, HOSTS),
            *(rf"(?<![\w.}}]){re.escape(path)}" for path in MACHINE),
            *(rf"\b{word}s?\b" for word in WORDS),
        ]
    ),
    re.IGNORECASE,
)


def test_no_file_names_a_registry_a_path_of_a_machine_or_a_banned_word():
    found = []
    for name in files():
        try:
            lines = (ROOT / name).read_text().splitlines()
        except UnicodeDecodeError:
            continue
        found += [
            f"{name}:{number}: {line.strip()[:90]}" for number, line in enumerate(lines, 1) if BANNED.search(line)
        ]

    assert found == []


def test_no_file_is_named_so():
    assert [name for name in files() if BANNED.search(name)] == []


def test_what_is_banned_is_found():
    bad = [
        f"see https://{HOSTS[0]}/x",
        f"cd {MACHINE[0]}main",
        f"made by an {WORDS[1]}",
        WORDS[4].lower(),
        f"a {WORDS[3]}",
    ]

    assert all(BANNED.search(one) for one in bad)
    assert not BANNED.search("a reagent, the workshop, a work/rest cycle, the roots of the blades")
