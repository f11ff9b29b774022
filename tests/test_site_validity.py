"""The built site by the checker of web standards: https://validator.github.io/validator/."""

import os
import subprocess
from pathlib import Path

import pytest

CHECKER = os.environ.get("VNU_JAR", "")
KINDS = ("--skip-non-html", "--also-check-css", "--also-check-svg")  # those three, nothing else


@pytest.mark.skipif(not CHECKER, reason="VNU_JAR names the checker; .ci/test installs it")
def test_the_checker_finds_no_error(site: Path) -> None:
    command = ["java", "-jar", CHECKER, "--errors-only", *KINDS, str(site)]
    found = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (found.returncode, found.stderr) == (0, "")
