# Sourced by app/run, tests/run and .ci/run: the Debian 12 packages lugwise needs, and how to get them.

build_packages=(g++ cmake ninja-build libfmt-dev libyaml-cpp-dev libboost-dev libeigen3-dev nlohmann-json3-dev
                libcli11-dev)
test_packages=(catch2 librsvg2-bin libbenchmark-dev python3 python3-networkx python3-scipy python3-yaml tmux)

# need_packages PACKAGE... installs those that are missing; all there means nothing is touched and no network is used.
# Without Debian's package database it trusts the reader to have them: cmake names what it cannot find.
need_packages() {
  command -v dpkg-query >/dev/null || return 0
  local package missing=() as_root=()
  local installed
  installed=$(dpkg-query -W -f='${db:Status-Status} ${Package}\n' "$@" 2>/dev/null || true)
  for package in "$@"; do
    [[ $'\n'$installed$'\n' == *$'\n'"installed $package"$'\n'* ]] || missing+=("$package")
  done
  ((${#missing[@]})) || return 0

  if ((EUID != 0)); then
    if command -v sudo >/dev/null && { sudo -n true 2>/dev/null || [[ -t 0 && -t 2 ]]; }; then
      as_root=(sudo)
    else
      printf 'lugwise: these Debian packages are missing: %s\n' "${missing[*]}" >&2
      printf 'lugwise: as root, run: apt-get update && apt-get install %s\n' "${missing[*]}" >&2
      return 1
    fi
  fi
  printf 'lugwise: installing %s\n' "${missing[*]}" >&2
  local log
  log=$(mktemp)
  if "${as_root[@]}" apt-get update >"$log" 2>&1 </dev/null &&
     "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
       apt-get install -y --no-install-recommends "${missing[@]}" >>"$log" 2>&1 </dev/null; then
    rm -f "$log"
    return 0
  fi
  tail -n 20 "$log" >&2
  rm -f "$log"
  printf 'lugwise: could not install: %s\n' "${missing[*]}" >&2
  return 1
}

# configure BUILD_DIR CMAKE_OPTION... (quiet unless it fails). A build folder that was configured for another place, as
# after moving or copying the checkout, is made anew.
configure() {
  local build=$1 cached
  shift
  if [[ -f $build/CMakeCache.txt ]]; then
    cached=$(sed -n 's/^CMAKE_HOME_DIRECTORY:INTERNAL=//p' "$build/CMakeCache.txt")
    [[ $cached -ef $root ]] || rm -rf "$build/CMakeCache.txt" "$build/CMakeFiles"
  fi
  quietly cmake -S "$root" -B "$build" -G Ninja "$@"
}

# quietly COMMAND... runs it with no input and shows its output, on stderr, only when it fails.
quietly() {
  local output
  if ! output=$("$@" 2>&1 </dev/null); then
    printf '%s\n' "$output" >&2
    return 1
  fi
}

jobs=${LUGWISE_JOBS:-$(nproc)}
export CCACHE_BASEDIR=${CCACHE_BASEDIR:-$root} CCACHE_NOHASHDIR=${CCACHE_NOHASHDIR:-1}
