/* pages.c: prints one of the files that are made from the program's tables; see pages.h.
   SPDX-License-Identifier: MIT */
#include "pages.h"

#include <stdio.h>
#include <string.h>

bool option_is_taken(const command *c, option_index index) {
    return (c->options & OPTION_BIT(index)) != 0;
}

bool option_has_choices(const option *o) {
    return o->argument != NULL && strchr(o->argument, '|') != NULL;
}

bool option_is_file(const option *o) {
    return o->argument != NULL && strcmp(o->argument, "FILE") == 0;
}

const char *option_names(const option *o) {
    const keyword k = grammar_find(text_of(o->name + strlen("--")));
    const bool name = o->argument != NULL && strcmp(o->argument, "NAME") == 0;
    return name && k < KEYWORDS && grammar_at(k)->named ? grammar_at(k)->name : NULL;
}

int main(int count, char **arguments) {
    static const struct {
        const char *name;
        void (*print)(void);
    } files[] = {
        {"docs/baronet.1", manual_program},
        {"docs/baronet.5", manual_netlist},
        {"docs/commands.md", list_commands},
        {"docs/shell/baronet.bash", complete_bash},
        {"docs/shell/_baronet", complete_zsh},
        {"docs/shell/baronet.fish", complete_fish},
        {"docs/vim/syntax/baronet.vim", highlight_vim},
        {"docs/limits.md", list_limits},
        {"tests/fuzz/words.dict", list_words},
    };
    for (size_t k = 0; k < sizeof files / sizeof files[0]; k++) {
        if (count < 2) {
            puts(files[k].name); /* what there is */
        } else if (strcmp(arguments[1], files[k].name) == 0) {
            files[k].print();
            return ferror(stdout) != 0;
        }
    }
    return count < 2 ? 0 : 2;
}
