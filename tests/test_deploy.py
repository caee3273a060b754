"""The recipes of deploy/: that each is whole, and that what is written about them is true.

Tools that check them further (shellcheck, caddy, systemd-analyze) are used where they are; under CI
each of them has to be there.
"""

import os
import re
import shutil
import subprocess
from configparser import RawConfigParser
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).resolve().parent.parent
SINGLE, COMPOSE = ROOT / "deploy" / "single", ROOT / "deploy" / "compose"
SCRIPTS = [SINGLE / "install", SINGLE / "upgrade"]
COMMANDS = sorted(path for path in (ROOT / "bin").iterdir() if path.suffix in {"", ".sh"})
UNITS = sorted(SINGLE.glob("*.service"))
OURS = ("prepare", "web", "worker", "beat")
COMPOSED = yaml.safe_load((COMPOSE / "compose.yaml").read_text())["services"]


def passes(*command: object, **more: str) -> None:
    """The tool finds nothing, or is not here; under CI it must be."""
    if shutil.which(str(command[0])) or os.environ.get("CI") == "true":
        done = subprocess.run(
            [str(part) for part in command], capture_output=True, text=True, env=os.environ | more
        )
        assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_a_script_is_sound_and_stops_at_the_first_fault(script):
    passes("bash", "-n", script)
    passes("shellcheck", "--severity=warning", script)
    assert "set -euo pipefail" in script.read_text()
    assert os.access(script, os.X_OK)


@pytest.mark.parametrize("command", COMMANDS, ids=lambda path: path.name)
def test_a_command_of_the_developers_is_sound(command):
    passes("bash", "-n", command)
    passes("shellcheck", "--severity=warning", command)


@pytest.mark.parametrize("unit", UNITS, ids=lambda path: path.name)
def test_a_service_runs_as_nobody_in_particular_and_writes_into_its_own_folder(unit, tmp_path):
    parsed = RawConfigParser(strict=False)
    parsed.optionxform = str
    parsed.read(unit)
    service = dict(parsed["Service"])
    assert (service["User"], service["NoNewPrivileges"]) == ("redbud", "true")
    assert (service["ProtectSystem"], service["ReadWritePaths"]) == ("strict", "/var/lib/redbud")
    assert (service["Restart"], service["CapabilityBoundingSet"]) == ("always", "")
    program = tmp_path / "program"
    program.touch(0o755)
    words = re.sub(r"ExecStart=\S+", f"ExecStart={program}", unit.read_text())
    words = words.replace("/opt/redbud", str(tmp_path)).replace("/etc/redbud/", f"{tmp_path}/")
    (tmp_path / unit.name).write_text(words)
    passes("systemd-analyze", "verify", tmp_path / unit.name)


@pytest.mark.parametrize("folder", [SINGLE, COMPOSE], ids=lambda path: path.name)
def test_the_proxy_keeps_health_and_figures_inside(folder):
    file = folder / "Caddyfile"
    inside = r"@inside path /health/ /ready/ /metrics/\n\thandle @inside \{\n\t\trespond 404"
    assert re.search(inside, file.read_text())
    passes("caddy", "validate", "--adapter", "caddyfile", "--config", file,
           REDBUD_NAME="redbud.example.com", HOME="/tmp")  # fmt: skip


@pytest.mark.parametrize("folder", [SINGLE, COMPOSE], ids=lambda path: path.name)
def test_every_line_of_the_surroundings_is_one_that_redbud_reads(folder):
    settings = (ROOT / "config" / "settings.py").read_text()
    for name in re.findall(r"^#?([A-Z_]{4,})=", (folder / "redbud.env.example").read_text(), re.M):
        assert f'"{name}"' in settings or name == "NUMBA_CACHE_DIR", name


def test_the_image_runs_as_nobody_in_particular_and_holds_no_secret():
    lines = (COMPOSE / "Dockerfile").read_text().splitlines()
    started = next(n for n, line in enumerate(lines) if line.startswith("CMD"))
    assert "USER redbud" in lines[:started]
    left_out = (ROOT / ".dockerignore").read_text().split()
    assert {".git", "var", "deploy/compose/redbud.env"} <= set(left_out)


def test_pages_and_workers_scale_apart_and_wait_for_their_tables():
    assert set(COMPOSED) == {*OURS, "caddy", "database", "broker"}
    for name in ("web", "worker", "beat"):
        waits = COMPOSED[name]["depends_on"]["prepare"]["condition"]
        assert waits == "service_completed_successfully"
        assert "container_name" not in COMPOSED[name]
    assert "python manage.py beat" in COMPOSED["beat"]["command"]


def test_only_the_proxy_is_reached_from_outside_and_ours_cannot_write_their_program():
    assert [name for name, service in COMPOSED.items() if "ports" in service] == ["caddy"]
    for name in OURS:
        assert COMPOSED[name]["read_only"] is True
        assert COMPOSED[name]["cap_drop"] == ["ALL"]


def test_what_the_deployment_page_names_is_there():
    words = (ROOT / "docs" / "deploy.md").read_text()
    for path in re.findall(r"`((?:deploy|tests)/[\w/.-]+)`", words):
        assert (ROOT / path).exists(), path
    figures = (ROOT / "front" / "figures.py").read_text() + (
        ROOT / "kit/web/metrics.py"
    ).read_text()
    for name in set(re.findall(r"`(redbud_\w+)", words)):
        assert f'"{name.removesuffix("_total")}"' in figures, name
