# Completion of trencher for bash. The program itself says what may stand next.
_trencher() {
  local line
  COMPREPLY=()
  while IFS= read -r line; do
    line=${line%%$'\t'*}
    if [ "$line" = :files ]; then
      compopt -o default
      COMPREPLY=()
      return
    fi
    COMPREPLY+=("$(printf %q "$line")")
  done < <("${COMP_WORDS[0]}" complete -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -F _trencher trencher
