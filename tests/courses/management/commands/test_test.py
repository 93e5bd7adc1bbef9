from __future__ import annotations

import sys

import pytest

from courses.management.commands.test import Done, Outcome, Step, never_run, run, source_steps, summary, test_steps

# Named as its module demands; pytest is not to take it for a test.
test_steps.__test__ = False


def _done(name="a step", outcome=Outcome.OK, closing="", *, command=("x",), to_get=""):
    return Done(step=Step(name=name, command=command, to_get=to_get), outcome=outcome, seconds=1.0, closing=closing)


def _python(code):
    return (sys.executable, "-c", code)


def test_a_step_that_ends_with_status_0_is_ok_and_its_last_words_are_kept(capsys):
    done = run(Step(name="speak", command=_python("print('one'); print('two'); print()")))

    assert (done.outcome, done.closing) == (Outcome.OK, "two")
    assert "== speak" in capsys.readouterr().out


def test_a_step_that_ends_otherwise_has_failed():
    assert run(Step(name="fail", command=_python("raise SystemExit(3)"))).outcome is Outcome.FAILED


def test_a_missing_postgresql_is_told_apart_from_a_failure():
    missing = _python("raise SystemExit(69)")

    assert run(Step(name="with", command=missing, to_get="fetch it")).outcome is Outcome.NOT_RUN
    assert run(Step(name="without", command=missing)).outcome is Outcome.FAILED


def test_a_step_that_is_not_possible_is_not_started():
    done = run(Step(name="browser", command=("no-such-program",), to_get="fetch it", is_possible=False))

    assert done.outcome is Outcome.NOT_RUN


def test_a_step_gets_its_environment():
    code = "import os; raise SystemExit(0 if os.environ['FLOOR'] == '3' else 1)"

    assert run(Step(name="x", command=_python(code), environment={"FLOOR": "3"})).outcome is Outcome.OK


def test_the_summary_names_every_failure_and_fails():
    lines, is_well = summary(
        [_done("types", Outcome.FAILED), _done(), _done("spelling", Outcome.FAILED)], [], is_ci=False
    )

    assert not is_well
    assert lines[-1] == "FAILED: types, spelling"


def test_what_did_not_run_is_told_with_how_to_get_it_and_fails_in_ci_alone():
    done = [_done(), _done("browser tests", Outcome.NOT_RUN, to_get="fetch it")]

    lines, is_well = summary(done, [], is_ci=False)
    assert is_well
    assert "Did not run: browser tests. To get it: fetch it" in lines
    assert lines[-1] == "What ran is well."
    assert not summary(done, [], is_ci=True)[1]


def test_a_test_skipped_in_every_run_fails_in_ci():
    lines, is_well = summary([_done()], ["tests.x"], is_ci=True)

    assert not is_well
    assert "Skipped in every run: tests.x" in lines


def test_the_closing_line_of_pytest_is_repeated_near_the_end():
    lines, is_well = summary(
        [_done("tests", closing="9 passed in 1.00s", command=("p", "-m", "pytest"))], [], is_ci=True
    )

    assert is_well
    assert lines[-2:] == ["tests: 9 passed in 1.00s", "All is well."]


def test_a_test_that_ran_on_one_database_is_not_counted_as_skipped(tmp_path):
    report = "<testsuites><testsuite>{}</testsuite></testsuites>"
    skipped = '<testcase classname="t" name="{}"><skipped/></testcase>'
    ran = '<testcase classname="t" name="{}"/>'
    (tmp_path / "a.xml").write_text(report.format(skipped.format("never") + skipped.format("once")))
    (tmp_path / "b.xml").write_text(report.format(skipped.format("never") + ran.format("once")))

    assert never_run(tmp_path.glob("*.xml")) == ["t.never"]


def test_production_is_checked_with_a_key_that_is_new_each_time():
    (first,) = (step for step in source_steps() if "--deploy" in step.command)
    (second,) = (step for step in source_steps() if "--deploy" in step.command)

    assert first.environment["SECRET_KEY"] != second.environment["SECRET_KEY"]
    assert first.environment["PRODUCTION"] == "1"


@pytest.mark.parametrize("vendor", ["sqlite", "postgresql"])
def test_the_tests_run_on_the_database_in_use_and_from_sqlite_also_on_postgresql(tmp_path, monkeypatch, vendor):
    monkeypatch.setattr("courses.management.commands.test.connection.vendor", vendor)

    names = [step.name for step in test_steps(tmp_path)]

    assert ("tests on SQLite" in names) == (vendor == "sqlite")
    assert "tests on PostgreSQL" in names
    assert "browser tests on PostgreSQL" in names


def test_without_chromium_the_browser_tests_say_how_to_get_it(tmp_path, settings):
    settings.CHROMIUM = str(tmp_path / "nowhere")

    browser = [step for step in test_steps(tmp_path) if step.name.startswith("browser")]

    assert browser
    assert not any(step.is_possible for step in browser)
    assert all("chromium" in step.to_get for step in browser)
