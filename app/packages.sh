# Sourced by app/run, app/browser/, tests/run and .ci/run: the Debian 12 packages lugwise needs, and how to get them.

build_packages=(g++ cmake ninja-build libfmt-dev libyaml-cpp-dev libboost-dev libeigen3-dev nlohmann-json3-dev
                libcli11-dev libutfcpp-dev)
test_packages=(catch2 librsvg2-bin libbenchmark-dev python3 python3-networkx python3-scipy python3-yaml tmux ngspice
               libxml2-utils)
clang_packages=(clang libclang-rt-dev)
# dpkg-dev unpacks the sources of the libraries that are compiled for the browser.
engine_packages=(emscripten dpkg-dev)
page_packages=(nodejs chromium firefox-esr)

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

# The page's libraries, from npm's registry, by app/browser/package-lock.json. 2: the registry was not reached.
libraries() {
  command -v npm >/dev/null || need_packages nodejs npm || return 1  # another's Node is as good
  [[ $root/app/browser/node_modules/.package-lock.json -nt $root/app/browser/package-lock.json ]] && return
  local said
  said=$(cd "$root/app/browser" && npm ci --ignore-scripts --no-audit --no-fund --fetch-retries=3 2>&1 </dev/null) && return
  printf '%s\n' "$said" | tail -n 20 >&2
  # What the network says, and not what is wrong with a package.
  [[ $said =~ code\ (ENOTFOUND|EAI_AGAIN|ECONN[A-Z]*|ETIMEDOUT|ENETUNREACH|EHOSTUNREACH|ERR_SOCKET_TIMEOUT|E[45][0-9][0-9]) ]] && return 2
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

# build BUILD_DIR TARGET says on stderr how far it is: over and over on one line of a terminal, else a line now and then.
# What the compiler says is shown only when it fails.
build() {
  local log status=0
  log=$(mktemp)
  # One line for each file that is done: how many, of how many, after how many seconds.
  NINJA_STATUS='built %f %t %e ' cmake --build "$1" -j "$jobs" --target "$2" 2>&1 </dev/null | tee "$log" |
    awk -v terminal="$([[ -t 2 ]] && echo 1 || echo 0)" '
      /^built [0-9]+ [0-9]+ [0-9.]+ / {
        done = $2; of = $3; seconds = $4
        if (of < 20 || seconds < 2 || (!terminal && seconds < said + 30)) next
        said = seconds
        left = seconds * (of - done) / done
        time = left < 50 ? "under a minute left" : sprintf("about %d min left", left / 60 + 0.5)
        if (done == of) time = "done"
        printf terminal ? "\r\033[Klugwise: built %d of %d, %s" : "lugwise: built %d of %d, %s\n", done, of, time
        fflush()
        shown = terminal
      }
      END { if (shown) printf "\n" }' >&2 || status=$?
  ((status == 0)) || grep -v '^built [0-9]' "$log" | tail -n 100 >&2
  rm -f "$log"
  return "$status"
}

jobs=${LUGWISE_JOBS:-$(nproc)}
export CCACHE_BASEDIR=${CCACHE_BASEDIR:-$root} CCACHE_NOHASHDIR=${CCACHE_NOHASHDIR:-1}
