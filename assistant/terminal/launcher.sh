#!/bin/sh
# Starts traycall with the terminal black before Python is read: `launcher.sh run RECIPE`. Any other command, and a
# terminal that could not be made black, starts as usual. TRAYCALL_PYTHON names the interpreter.
dark=no
if [ "$1" = run ] && [ -t 0 ] && [ -t 1 ] && [ -z "$TMUX" ]; then
    case " $* " in *" --plain "* | *" --help "* | *" -h "*) ;; *)
        case "$TERM" in "" | dumb | unknown | linux | tmux* | screen*) ;; *) dark=yes ;; esac ;;
    esac
fi
if [ "$dark" = yes ]; then
    printf '\033[?25l\033[#P'
    for own in 10 11 12 13 14 17 19; do printf '\033]%s;rgb:00/00/00\033\\' "$own"; done
    TRAYCALL_BLACK=1
    export TRAYCALL_BLACK
fi
exec "${TRAYCALL_PYTHON:-python3}" -c 'from assistant.terminal import black
black.answer_in_light()
from assistant.cli.main import main
raise SystemExit(main())' "$@"
