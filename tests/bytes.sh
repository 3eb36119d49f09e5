#!/usr/bin/env bash
# Writes every output of a built program to a folder, so that two programs can be compared byte by byte:
#   tests/bytes.sh target/debug/benchleaf out-a; … ; diff -r out-a out-b
set -uo pipefail
program=$(realpath "$1")
mkdir -p "$2"
out=$(realpath "$2")
root=$(cd "$(dirname "$0")/.." && pwd)
shop=$(mktemp -d)
trap 'rm -rf "$shop"' EXIT
export COLUMNS=80 NO_COLOR=1 TZ=UTC
export GIT_AUTHOR_NAME=test GIT_AUTHOR_EMAIL=test@example.invalid GIT_AUTHOR_DATE=2026-06-01T12:00:00Z
export GIT_COMMITTER_NAME=test GIT_COMMITTER_EMAIL=test@example.invalid GIT_COMMITTER_DATE=2026-06-01T12:00:00Z

cp -r "$root/specs" "$root/procedures" "$shop"
cd "$shop"
git init -q . && git add -A && git commit -qm one

# What a command prints, and how it ends.
say() {
    local name=$1
    shift
    "$program" "$@" >"$out/$name.out" 2>"$out/$name.err"
    echo "exit $?" >>"$out/$name.out"
}

for format in text json sarif github; do say "check-$format" check --format "$format"; done
say build build --out "$out/site"
rm -rf "$out/site/.benchleaf"
say schema schema
cp -r specs/schema "$out/schema"
say field-card card PEAA-J80G
say pull pull velmora-c45:full-service
say calc-gap calc gap --fork tarnholm-u45
say convert convert "16 oz"
say draft new fork bytes-draft --like tarnholm-u45
cp specs/forks/bytes-draft.yaml "$out/draft.yaml" 2>/dev/null
for rule in outside-band unit-slip condition-not-met; do say "explain-$rule" explain "$rule"; done

# A second state of the shop: values, steps, states and cautions changed, some of them wrongly.
sed -i 's/± 2 mm/± 3 mm/' specs/forks/*.yaml
sed -i '0,/spring: out/s//spring: in/' specs/forks/tarnholm-u45.yaml
sed -i 's/N·m (/Nm (/' specs/forks/velmora-c41.yaml
sed -i '0,/mm/s//mL/' specs/forks/velmora-c45.yaml
sed -i '$d' procedures/services/oil-change.yaml
git commit -qam two
for format in text markdown json; do say "compare-$format" compare HEAD~1 HEAD --format "$format"; done
for format in text json sarif github; do say "check-two-$format" check --format "$format"; done
say build-two build --out "$out/site-two"

# The small shops of the rules' tests.
for small in "$root"/tests/shops/*/; do
    say "shop-$(basename "$small")" check "$small" --format json
done
# No place of this run is in what is compared.
grep -rlF "$shop" "$out" | xargs -r sed -i "s#$shop#SHOP#g"
grep -rlF "$out" "$out" | xargs -r sed -i "s#$out#OUT#g"
