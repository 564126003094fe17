/* shells.c: completions for bash, zsh and fish; see pages.h. Names of states, cases, events and
   motions are taken from the netlist that stands on the command line.
   SPDX-License-Identifier: MIT */
#include <stdio.h>
#include <string.h>

#include "pages.h"

static const char made[] = "# Made from the program's tables by `make docs`; do not edit.";

/* Prints the choices of an option, parted by blanks. */
static void put_choices(const option *o) {
    for (const char *c = o->argument; *c != '\0'; c++) {
        putchar(*c == '|' ? ' ' : *c);
    }
}

/* What every netlist has beside its own names. */
static const char *usual_names(const char *keyword_name) {
    if (strcmp(keyword_name, "state") == 0) {
        return "rest";
    }
    return strcmp(keyword_name, "motion") == 0 ? "heave pitch roll warp" : "";
}

static void print_bash_values(void) {
    puts("    case $before in");
    for (int k = 0; k < OPTIONS; k++) {
        const option *o = option_at((option_index)k);
        if (o->argument == NULL) {
            continue;
        }
        printf("    %s)\n        ", o->name);
        if (option_has_choices(o)) {
            printf("COMPREPLY=($(compgen -W '");
            put_choices(o);
            puts("' -- \"$current\"))");
        } else if (option_names(o) != NULL) {
            printf("COMPREPLY=($(compgen -W \"%s $(_baronet_names %s)\" -- \"$current\"))\n",
                   usual_names(option_names(o)), option_names(o));
        } else if (option_is_file(o)) {
            puts("compopt -o filenames 2>/dev/null\n"
                 "        COMPREPLY=($(compgen -f -- \"$current\"))");
        } else {
            puts(":");
        }
        puts("        return ;;");
    }
    puts("    esac");
}

static void print_bash_options(void) {
    puts("    case ${COMP_WORDS[1]} in");
    for (int k = 0; commands_at(k) != NULL; k++) {
        const command *c = commands_at(k);
        printf("    %s) options='", c->name);
        const char *before = "";
        for (int i = 0; i < OPTIONS; i++) {
            if (option_is_taken(c, (option_index)i)) {
                printf("%s%s", before, option_at((option_index)i)->name);
                before = " ";
            }
        }
        puts("' ;;");
    }
    puts("    esac");
}

void complete_bash(void) {
    printf("# baronet.bash: completion for bash.\n%s\n\n", made);
    puts("# Names that the netlist on the command line gives with a keyword.\n"
         "_baronet_names() {\n"
         "    local word\n"
         "    for word in \"${COMP_WORDS[@]:2}\"; do\n"
         "        case $word in\n"
         "        *.air) sed -n \"s/^$1[[:space:]]\\{1,\\}\\([A-Za-z][A-Za-z0-9_-]*\\).*/\\1/p\" "
         "\"$word\" 2>/dev/null ;;\n"
         "        esac\n"
         "    done\n"
         "}\n\n"
         "_baronet() {\n"
         "    local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} "
         "options=\n"
         "    COMPREPLY=()\n"
         "    if [ \"$COMP_CWORD\" = 1 ]; then");
    printf("        COMPREPLY=($(compgen -W '");
    for (int k = 0; commands_at(k) != NULL; k++) {
        printf("%s ", commands_at(k)->name);
    }
    puts("--help --version' -- \"$current\"))\n        return\n    fi");
    print_bash_values();
    print_bash_options();
    puts("    case $current in\n"
         "    -*) COMPREPLY=($(compgen -W \"$options\" -- \"$current\")) ;;\n"
         "    *)\n"
         "        compopt -o filenames 2>/dev/null\n"
         "        COMPREPLY=($(compgen -f -X '!*.air' -- \"$current\") $(compgen -d -- "
         "\"$current\")) ;;\n"
         "    esac\n"
         "}\n\n"
         "complete -F _baronet baronet");
}

/* Words within single quotes and within the brackets and colons of zsh. */
static void put_zsh(const char *words) {
    for (const char *c = words; *c != '\0'; c++) {
        if (*c == '\'') {
            fputs("'\\''", stdout);
        } else if (*c == '[' || *c == ']' || *c == ':') {
            printf("\\%c", *c);
        } else {
            putchar(*c);
        }
    }
}

static void print_zsh_option(const option *o) {
    printf("            '%s[", o->name);
    put_zsh(o->help);
    putchar(']');
    if (o->argument != NULL) {
        putchar(':');
        put_zsh(option_has_choices(o) ? "value" : o->argument);
        putchar(':');
        if (option_has_choices(o)) {
            putchar('(');
            put_choices(o);
            putchar(')');
        } else if (option_names(o) != NULL) {
            printf("_baronet_names %s %s", option_names(o), usual_names(option_names(o)));
        } else if (option_is_file(o)) {
            printf("_files");
        }
    }
    puts("' \\");
}

void complete_zsh(void) {
    printf("#compdef baronet\n# _baronet: completion for zsh.\n%s\n\n", made);
    puts("# Names that the netlist on the command line gives with a keyword, and those that each "
         "has.\n"
         "_baronet_names() {\n"
         "    local file\n"
         "    local -a names\n"
         "    names=(${@:2})\n"
         "    for file in ${(M)words:#*.air}; do\n"
         "        names+=(${(f)\"$(sed -n "
         "\"s/^$1[[:space:]]\\{1,\\}\\([A-Za-z][A-Za-z0-9_-]*\\).*/\\1/p\" "
         "$file 2>/dev/null)\"})\n"
         "    done\n"
         "    compadd -a names\n"
         "}\n\n"
         "_baronet() {\n"
         "    local -a commands\n"
         "    commands=(");
    for (int k = 0; commands_at(k) != NULL; k++) {
        printf("        '%s:", commands_at(k)->name);
        put_zsh(commands_at(k)->summary);
        puts("'");
    }
    puts("    )\n"
         "    if (( CURRENT == 2 )); then\n"
         "        _describe command commands\n"
         "        return\n"
         "    fi\n"
         "    shift words\n"
         "    (( CURRENT-- ))\n"
         "    case $words[1] in");
    for (int k = 0; commands_at(k) != NULL; k++) {
        printf("    %s)\n        _arguments \\\n", commands_at(k)->name);
        for (int i = 0; i < OPTIONS; i++) {
            if (option_is_taken(commands_at(k), (option_index)i)) {
                print_zsh_option(option_at((option_index)i));
            }
        }
        puts("            '*:netlist:_files -g \"*.air\"' ;;");
    }
    puts("    esac\n}\n\n_baronet \"$@\"");
}

/* Words within the single quotes of fish. */
static void put_fish(const char *words) {
    for (const char *c = words; *c != '\0'; c++) {
        printf(*c == '\'' || *c == '\\' ? "\\%c" : "%c", *c);
    }
}

static void print_fish_option(option_index index) {
    const option *o = option_at(index);
    printf("complete -c baronet -n '__fish_seen_subcommand_from");
    for (int k = 0; commands_at(k) != NULL; k++) {
        if (option_is_taken(commands_at(k), index)) {
            printf(" %s", commands_at(k)->name);
        }
    }
    printf("' -l %s", o->name + strlen("--"));
    if (o->argument != NULL) {
        printf(option_is_file(o) ? " -r -F" : " -x");
    }
    if (option_has_choices(o)) {
        printf(" -a '");
        put_choices(o);
        putchar('\'');
    } else if (option_names(o) != NULL) {
        printf(" -a '(__baronet_names %s %s)'", option_names(o), usual_names(option_names(o)));
    }
    printf(" -d '");
    put_fish(o->help);
    puts("'");
}

void complete_fish(void) {
    printf("# baronet.fish: completion for fish.\n%s\n\n", made);
    puts(
        "# Names that the netlist on the command line gives with a keyword, and those that each "
        "has.\n"
        "function __baronet_names\n"
        "    printf '%s\\n' $argv[2..]\n"
        "    for file in (commandline -opc | string match '*.air')\n"
        "        sed -n \"s/^$argv[1][[:space:]]\\{1,\\}\\([A-Za-z][A-Za-z0-9_-]*\\).*/\\1/p\" "
        "$file "
        "2>/dev/null\n"
        "    end\n"
        "end\n\n"
        "complete -c baronet -f\n"
        "complete -c baronet -n 'not __fish_use_subcommand' -k -a '(__fish_complete_suffix .air)'\n"
        "complete -c baronet -n __fish_use_subcommand -l help -d 'the list of commands'\n"
        "complete -c baronet -n __fish_use_subcommand -l version -d 'which version this is'");
    for (int k = 0; commands_at(k) != NULL; k++) {
        printf("complete -c baronet -n __fish_use_subcommand -a %s -d '", commands_at(k)->name);
        put_fish(commands_at(k)->summary);
        puts("'");
    }
    for (int i = 0; i < OPTIONS; i++) {
        print_fish_option((option_index)i);
    }
}
