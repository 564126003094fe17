/* The program: finds the command, reads its options, runs it. */
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "cli/commands.h"
#include "cli/hint.h"
#include "cli/lines.h"
#include "cli/sink.h"

static void help_exit_codes(FILE *to) {
    char words[400] = "Exit:";
    for (int code = 0; commands_exit_words(code) != NULL; code++) {
        const size_t used = strlen(words);
        snprintf(words + used, sizeof words - used, "%s %d %s", code > 0 ? "," : "", code,
                 commands_exit_words(code));
    }
    strcat(words, ".");
    lines_print(to, 0, words);
}

static void help(FILE *to) {
    fputs("baronet states netlists/camper.air\n\n"
          "What the plumbing of an air suspension does: pressures, rates, frequencies and\n"
          "valve states of springs, tanks, hoses and solenoids in any layout, from a text\n"
          "netlist.\n\n"
          "usage: baronet COMMAND FILE [options]    (FILE may be - for standard input)\n\n",
          to);
    for (int k = 0; commands_at(k) != NULL; k++) {
        fprintf(to, "  %-10s ", commands_at(k)->name);
        lines_print(to, 13, commands_at(k)->summary);
    }
    fputs("\n`baronet COMMAND --help` says more of each; `baronet --version` which this is.\n", to);
    help_exit_codes(to);
}

static int unknown_command(const char *name) {
    fprintf(stderr, "baronet: there is no command `%s`\n", name);
    hint h = hint_begin(name, "commands:");
    for (int k = 0; commands_at(k) != NULL; k++) {
        hint_offer(&h, commands_at(k)->name);
    }
    hint_say(&h);
    return 2;
}

/* The exit code once something has been printed. */
static int printed(void) {
    return baronet_status_exit_code(sink_flush() ? BARONET_OK : BARONET_NO_FILE);
}

int main(int count, char **arguments) {
    /* A reader that goes away and a file that grows too long are seen where they are written to. */
    signal(SIGPIPE, SIG_IGN);
    signal(SIGXFSZ, SIG_IGN);
    if (count < 2) {
        help(stderr);
        return 2;
    }
    if (strcmp(arguments[1], "--help") == 0) {
        help(stdout);
        return printed();
    }
    if (strcmp(arguments[1], "--version") == 0) {
        printf("baronet %s\n", BARONET_VERSION);
        return printed();
    }
    const command *c = commands_find(arguments[1]);
    if (c == NULL) {
        return unknown_command(arguments[1]);
    }
    settings s = {.format = c->format};
    if (!options_read(&s, c->name, c->options, count - 2, arguments + 2)) {
        return 2;
    }
    if (s.help) {
        command_help(c);
        return printed();
    }
    return command_run(c, &s);
}
