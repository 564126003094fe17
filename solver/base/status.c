/* status.c: the words and exit codes of statuses, both made from the one list in status.h.
   SPDX-License-Identifier: MIT */
#include "baronet/status.h"

const char *baronet_status_text(baronet_status status) {
    switch (status) {
#define STATUS_WORDS(name, value, words, exit_code)                                                \
    case name:                                                                                     \
        return words;
        BARONET_STATUS_LIST(STATUS_WORDS)
#undef STATUS_WORDS
    }
    return "an unknown status";
}

int baronet_status_exit_code(baronet_status status) {
    switch (status) {
#define STATUS_EXIT_CODE(name, value, words, exit_code)                                            \
    case name:                                                                                     \
        return exit_code;
        BARONET_STATUS_LIST(STATUS_EXIT_CODE)
#undef STATUS_EXIT_CODE
    }
    return 4; /* whatever an unknown status is, no solution came of it */
}
