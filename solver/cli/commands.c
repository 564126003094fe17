#include "cli/commands.h"

#include <string.h>

static const command *const commands[] = {
    &command_check, &command_rates, &command_stroke, &command_times,  &command_response,
    &command_ride,  &command_play,  &command_faults, &command_states, &command_parts,
    &command_vary,  &command_size,  &command_spread, &command_report, &command_draw,
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

static const char *const exit_words[] = {"done",
                                         "a requirement is not met",
                                         "wrong usage",
                                         "the netlist is wrong",
                                         "no solution found",
                                         "a file could not be read or written, or memory ran out"};

const command *commands_at(int place) {
    return place < COMMANDS ? commands[place] : NULL;
}

const command *commands_find(const char *name) {
    for (int k = 0; k < COMMANDS; k++) {
        if (strcmp(commands[k]->name, name) == 0) {
            return commands[k];
        }
    }
    return NULL;
}

const char *commands_exit_words(int code) {
    return code < (int)(sizeof exit_words / sizeof exit_words[0]) ? exit_words[code] : NULL;
}
