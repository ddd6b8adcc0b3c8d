# Shared by smoke.sh and long.sh, which set `root`: builds the targets and runs one of them.
fuzz=$root/build-fuzz/tests/fuzz
targets='amounts codes command_lines journal readings rules templates'

build_fuzz() {
  launcher=
  if command -v ccache >/dev/null; then launcher=-DCMAKE_CXX_COMPILER_LAUNCHER=ccache; fi
  cmake -S "$root" -B "$root/build-fuzz" -G Ninja -DTRENCHER_FUZZ=ON -DTRENCHER_STRICT=ON \
    -DCMAKE_C_COMPILER=clang -DCMAKE_CXX_COMPILER=clang++ $launcher >/dev/null
  cmake --build "$root/build-fuzz"
}

# run_target NAME SECONDS FOLDER [OPTION...]: what it finds anew is kept in FOLDER/corpus-NAME, what
# fails in FOLDER/failed-NAME-*. The seeds are only read.
run_target() {
  name=$1 seconds=$2 folder=$3
  shift 3
  mkdir -p "$folder/corpus-$name"
  dictionary=
  [ ! -f "$root/tests/fuzz/dictionaries/$name" ] || dictionary=-dict=$root/tests/fuzz/dictionaries/$name
  "$fuzz/fuzz_$name" -max_total_time="$seconds" -timeout=25 -rss_limit_mb=2048 -max_len="$(longest "$name")" \
    -artifact_prefix="$folder/failed-$name-" -print_final_stats=1 $dictionary "$@" \
    "$folder/corpus-$name" "$root/tests/fuzz/seeds/$name" >"$folder/$name.log" 2>&1
}

longest() {
  case $1 in
    journal) echo 40000 ;;
    amounts | codes) echo 200 ;;
    *) echo 4096 ;;
  esac
}
