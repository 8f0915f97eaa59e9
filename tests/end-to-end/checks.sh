# What the scripts beside this one share: a place of their own to work in, and checks that are counted.
# To be sourced. Ends the shell with its directory gone.
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0
failed=0

check() { # NAME COMMAND...
    name=$1
    shift
    if "$@"; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "FAILED: $name"
    fi
}
