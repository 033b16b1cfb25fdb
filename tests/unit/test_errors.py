"""Messages: where, what, why and how to mend it."""

from pathlib import Path

import pytest

from rotorwright.errors import CannotCompute, InputError, Problem, RotorwrightError


def test_problem_says_file_and_line() -> None:
    problem = Problem("mass_g is -3", "It must be more than 0 g.", "No part lifts by itself", Path("x.toml"), 12)
    assert problem.where == "x.toml:12"
    assert str(problem) == "x.toml:12: mass_g is -3. No part lifts by itself. It must be more than 0 g."


@pytest.mark.parametrize(
    "file, line, where", [(None, None, ""), (None, 3, ""), (Path("a"), None, "a"), (Path("a"), 3, "a:3")]
)
def test_where(file: Path | None, line: int | None, where: str) -> None:
    problem = Problem("wrong", "mend it", file=file, line=line)
    assert problem.where == where
    assert str(problem) == (f"{where}: wrong" if where else "wrong") + ". mend it."


def test_input_error_holds_every_problem() -> None:
    one, two = Problem("one", "a"), Problem("two", "b")
    error = InputError(one, two)
    assert error.problems == (one, two)
    assert str(error) == "one. a.\ntwo. b."


def test_all_are_of_the_package() -> None:
    assert issubclass(InputError, RotorwrightError)
    assert issubclass(CannotCompute, RotorwrightError)
    assert not issubclass(InputError, CannotCompute)
