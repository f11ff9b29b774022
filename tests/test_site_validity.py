"""The built site by the checker of web standards: https://validator.github.io/validator/."""

import os
import subprocess
from pathlib import Path

import pytest

SITE = Path(__file__).parents[1] / "site"
CHECKER = os.environ.get("VNU_JAR", "")


@pytest.mark.skipif(not CHECKER, reason="VNU_JAR names the checker; .ci/test installs it")
@pytest.mark.parametrize("kind", ["--skip-non-html", "--skip-non-css", "--skip-non-svg"])
def test_the_checker_finds_no_error(kind: str) -> None:
    command = ["java", "-jar", CHECKER, "--errors-only", kind, str(SITE)]
    found = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (found.returncode, found.stderr) == (0, "")
