# Shared by the run scripts: installs what is missing (Debian), configures a build.

# What a build needs, and what is named besides.
setup_packages() {
  missing=""
  for package in g++ cmake make pkg-config tao-pegtl-dev libfmt-dev libcli11-dev git "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing="$missing $package"
  done
  [ -z "$missing" ] && return 0
  as_root=""
  [ "$(id -u)" = 0 ] || as_root=sudo
  $as_root apt-get update -qq
  # shellcheck disable=SC2086
  DEBIAN_FRONTEND=noninteractive $as_root apt-get install -y -qq --no-install-recommends $missing >/dev/null
}

# SPRUE_OPTIONS: options of cmake besides.
configure() {
  source=$1
  folder=$2
  shift 2
  launcher=""
  command -v ccache >/dev/null 2>&1 && launcher="-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"
  # shellcheck disable=SC2086
  cmake -S "$source" -B "$folder" $launcher "$@" ${SPRUE_OPTIONS:-} >/dev/null
}
