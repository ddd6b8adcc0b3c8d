# Completion of trencher for fish. The program itself says what may stand next.
function __trencher_next
    set -l typed (commandline -opc)
    set -l lines ($typed[1] complete -- $typed[2..-1] (commandline -ct) 2>/dev/null)
    if string match -q -- ':files*' $lines[1]
        __fish_complete_path (commandline -ct)
    else
        printf '%s\n' $lines
    end
end
complete -c trencher -f -k -a '(__trencher_next)'
