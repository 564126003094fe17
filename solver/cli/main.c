/* The program: finds the command, reads its options, runs it. */
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/hint.h"
#include "cli/lines.h"
#include "cli/sink.h"

static const command *const commands[] = {
    &command_check, &command_rates, &command_stroke, &command_times,  &command_response,
    &command_ride,  &command_play,  &command_faults, &command_states, &command_parts};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

static void help(FILE *to) {
    fputs("baronet states netlists/camper.air\n\n"
          "What the plumbing of an air suspension does: pressures, rates, frequencies and\n"
          "valve states of springs, tanks, hoses and solenoids in any layout, from a text\n"
          "netlist.\n\n"
          "usage: baronet COMMAND FILE [options]    (FILE may be - for standard input)\n\n",
          to);
    for (int k = 0; k < COMMANDS; k++) {
        fprintf(to, "  %-10s ", commands[k]->name);
        lines_print(to, 13, commands[k]->summary);
    }
    fputs("\n`baronet COMMAND --help` says more of each; `baronet --version` which this is.\n"
          "Exit: 0 done, 1 a requirement is not met, 2 wrong usage, 3 the netlist is wrong,\n"
          "4 no solution found, 5 a file could not be read or written.\n",
          to);
}

static const command *find_command(const char *name) {
    for (int k = 0; k < COMMANDS; k++) {
        if (strcmp(commands[k]->name, name) == 0) {
            return commands[k];
        }
    }
    return NULL;
}

static int unknown_command(const char *name) {
    fprintf(stderr, "baronet: there is no command `%s`\n", name);
    hint h = hint_begin(name, "commands:");
    for (int k = 0; k < COMMANDS; k++) {
        hint_offer(&h, commands[k]->name);
    }
    hint_say(&h);
    return 2;
}

/* The exit code once something has been printed. */
static int printed(void) {
    return baronet_status_exit_code(sink_flush() ? BARONET_OK : BARONET_NO_FILE);
}

int main(int count, char **arguments) {
    signal(SIGPIPE, SIG_IGN); /* a reader that goes away is seen where it is written to */
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
    const command *c = find_command(arguments[1]);
    if (c == NULL) {
        return unknown_command(arguments[1]);
    }
    settings s;
    if (!options_read(&s, c->name, c->options, count - 2, arguments + 2)) {
        return 2;
    }
    if (s.help) {
        command_help(c);
        return printed();
    }
    return command_run(c, &s);
}
