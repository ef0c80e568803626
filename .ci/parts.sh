# Sourced by the checks: runs them in parts and says how long each took.
#
#   part NAME MINUTES COMMAND...
#
# MINUTES is the part's budget on two idle cores; all budgets together, those of
# .ci/run and .ci/verify, come to 60. A part over its budget is marked and fails
# nothing: machines differ, and the minutes are there to see what has grown.

CHECK_PARTS=${CHECK_PARTS:-$(mktemp)}
export CHECK_PARTS

part() {
  local name=$1 minutes=$2 from=$SECONDS
  shift 2
  echo "== $name"
  "$@"
  local took=$((SECONDS - from)) mark=""
  [ "$took" -le $((minutes * 60)) ] || mark="  over its budget"
  printf '%-45s %5d s of %4d%s\n' "$name" "$took" $((minutes * 60)) "$mark" >>"$CHECK_PARTS"
}

# parts prints how long each took.
parts() {
  cat "$CHECK_PARTS"
  awk '{ for (i = 1; i <= NF; i++) if ($i == "of" && $(i-1) == "s") { took += $(i-2); given += $(i+1) } }
    END { printf "%-45s %5d s of %4d\n", "all", took, given }' "$CHECK_PARTS"
}
