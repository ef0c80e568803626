# Sourced by the checks: runs them in parts and prints how long each took.
#
#   part NAME SECONDS COMMAND...
#
# SECONDS is the part's budget on two idle cores: what it took when last measured, with a
# reserve of at least half of that. All budgets of .ci/run and .ci/verify together must not
# exceed an hour, or the checks fail. A part over its budget is marked but does not fail:
# machines differ, and the budgets only show what has grown.

# As make test compiles, so that packages are compiled once. make lint vets, all packages at
# once.
GOFLAGS="$(go env GOFLAGS) $(make --silent --no-print-directory compiled) -vet=off"
export GOFLAGS

CHECK_PARTS=${CHECK_PARTS:-$(mktemp)}
export CHECK_PARTS

part() {
  local name=$1 budget=$2 from=$SECONDS
  shift 2
  echo "== $name"
  "$@"
  local took=$((SECONDS - from)) mark=""
  [ "$took" -le "$budget" ] || mark="  over its budget"
  printf '%-48s %5d s of %4d%s\n' "$name" "$took" "$budget" "$mark" >>"$CHECK_PARTS"
}

# leave STATUS ends a check in its trap for EXIT, so that the times are also printed after a
# part that failed.
leave() {
  local status=$1
  parts || status=1
  exit "$status"
}

# parts prints how long each took and fails if they may take more than an hour.
parts() {
  cat "$CHECK_PARTS"
  awk '{ for (i = 1; i <= NF; i++) if ($i == "of" && $(i-1) == "s") { took += $(i-2); given += $(i+1) } }
    END { printf "%-48s %5d s of %4d\n", "all", took, given
      if (given > 3600) { print "the budgets add up to more than an hour"; exit 1 } }' "$CHECK_PARTS"
}
