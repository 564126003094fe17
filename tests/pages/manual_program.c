/* manual_program.c: the manual page of the program, and its commands as a page of docs/.
   SPDX-License-Identifier: MIT */
#include <stdio.h>
#include <string.h>

#include "pages.h"

static const char about[] =
    "baronet works out what the plumbing of an air suspension does: pressures, heights, rates and\n"
    "frequencies in each position of the valves, how fast air evens out, how a vehicle rides and\n"
    "rolls, and what happens when something is switched, loaded or broken. The layout comes from "
    "a\n"
    "netlist, a text file that `baronet`(5) describes. `FILE` may be `-` for standard input.";

static const char cautions[] =
    "Compressed air and a raised vehicle can kill. Support the vehicle on stands before you reach\n"
    "under it. Let the pressure out before opening a line. Use parts rated above the highest\n"
    "pressure shown, and vessels that have been proof-tested. Check what happens with the power\n"
    "off. Local codes and a licensed practitioner decide what may be fitted and driven. Figures "
    "are\n"
    "as good as the profiles of the springs; cautions and assumed values are said beside them.";

static void print_commands(void) {
    roff_section("COMMANDS");
    for (int k = 0; commands_at(k) != NULL; k++) {
        const command *c = commands_at(k);
        char summary[200];
        snprintf(summary, sizeof summary, "%s.", c->summary);
        roff_item(c->name, NULL, summary);
        roff_words(c->about);
        printf("\n.br\n\\fB");
        roff_words(c->example);
        puts("\\fR");
    }
}

/* Names of the commands that take an option; "" where all do. */
static void takers(option_index index, char *out, size_t room) {
    bool all = true;
    out[0] = '\0';
    for (int k = 0; commands_at(k) != NULL; k++) {
        const command *c = commands_at(k);
        const bool taken = option_is_taken(c, index);
        all = all && taken;
        const size_t used = strlen(out);
        if (taken) {
            snprintf(out + used, room - used, "%s`%s`", used > 0 ? ", " : "", c->name);
        }
    }
    if (all) {
        out[0] = '\0';
    }
}

static void print_options(void) {
    roff_section("OPTIONS");
    for (int k = 0; k < OPTIONS; k++) {
        const option *o = option_at((option_index)k);
        char commands[300], meaning[500];
        takers((option_index)k, commands, sizeof commands);
        snprintf(meaning, sizeof meaning, "%s%s%s.", o->help, commands[0] != '\0' ? "; with " : "",
                 commands);
        roff_item(o->name, o->argument, meaning);
    }
    roff_item("--version", NULL, "in place of a command: which version this is.");
    roff_paragraph("An option and its value may also be written as one word, `--state=NAME`.");
}

static void print_exit_codes(void) {
    roff_section("\"EXIT STATUS\"");
    for (int code = 0; commands_exit_words(code) != NULL; code++) {
        char digits[16];
        snprintf(digits, sizeof digits, "%d", code);
        roff_item(digits, NULL, commands_exit_words(code));
    }
}

static void print_files(void) {
    roff_section("FILES");
    roff_item("*.air", NULL, "netlists, and parts of them to include; see `baronet`(5).");
    roff_item("share/baronet/netlists", NULL,
              "under the folder of installation: demonstrations, all invented, and profiles of "
              "springs.");
    roff_item("share/baronet/schema", NULL,
              "the RELAX NG schema of the answers that `--as xml` gives.");
    roff_section("ENVIRONMENT");
    roff_item("NO_COLOR", NULL, "where it is set and not empty, nothing is coloured.");
    roff_item("TERM", NULL, "where it is `dumb`, nothing is coloured.");
}

void manual_program(void) {
    puts(".\\\" Made from the program's tables by `make docs`; do not edit.");
    printf(".TH BARONET 1 \"\" \"baronet %s\"\n", BARONET_VERSION);
    roff_section("NAME");
    puts("baronet \\- compressed\\-air networks under a vehicle");
    roff_section("SYNOPSIS");
    puts(".B baronet\n.I COMMAND FILE\n.RI [ options ]\n.br\n.B baronet\n.I COMMAND\n"
         ".B \\-\\-help\n.br\n.B baronet \\-\\-help\n|\n.B \\-\\-version");
    roff_section("DESCRIPTION");
    roff_words(about);
    putchar('\n');
    print_commands();
    print_options();
    print_exit_codes();
    print_files();
    roff_section("EXAMPLES");
    for (int k = 0; commands_at(k) != NULL; k++) {
        roff_example(commands_at(k)->example);
    }
    roff_section("CAUTIONS");
    roff_words(cautions);
    putchar('\n');
    roff_section("\"SEE ALSO\"");
    puts(".BR baronet (5)");
}

/* A table's cell: a line end is a blank, a bar is escaped. */
static void put_cell(const char *words) {
    for (const char *c = words; *c != '\0'; c++) {
        if (*c == '|') {
            fputs("\\|", stdout);
        } else {
            putchar(*c == '\n' ? ' ' : *c);
        }
    }
}

static void list_options(const command *c) {
    puts("\n| option | meaning |\n| --- | --- |");
    for (int k = 0; k < OPTIONS; k++) {
        const option *o = option_at((option_index)k);
        if (!option_is_taken(c, (option_index)k)) {
            continue;
        }
        printf("| `%s%s", o->name, o->argument != NULL ? " " : "");
        put_cell(o->argument != NULL ? o->argument : "");
        printf("` | ");
        put_cell(o->help);
        puts(" |");
    }
}

void list_commands(void) {
    puts("# Commands and options\n\n"
         "<!-- Made from the program's tables by `make docs`; do not edit. -->\n\n"
         "    baronet COMMAND FILE [options]\n\n"
         "`FILE` is a netlist, or `-` for standard input. An option and its value may also be "
         "written\n"
         "as one word, `--state=NAME`. The same is said by `baronet COMMAND --help`, and by the\n"
         "manual pages `baronet(1)` and `baronet(5)`.\n\n"
         "| exit code | meaning |\n| --- | --- |");
    for (int code = 0; commands_exit_words(code) != NULL; code++) {
        printf("| %d | %s |\n", code, commands_exit_words(code));
    }
    for (int k = 0; commands_at(k) != NULL; k++) {
        const command *c = commands_at(k);
        printf("\n## `%s`\n\n    %s\n\n%s\n", c->name, c->example, c->about);
        list_options(c);
    }
    puts("\n<!-- book -->"); /* links to other pages follow */
}
