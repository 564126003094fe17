/* program.h: the program run as from a shell, with what it said and how it ended.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_CLI_PROGRAM_H
#define TESTS_CLI_PROGRAM_H

#include <stdbool.h>
#include <stddef.h>

typedef struct ran {
    int code;   /* its exit code; -1 where it was killed */
    int signal; /* that killed it; 0 for none */
    char *out;  /* standard output, terminated */
    size_t length;
    char *err; /* standard error, terminated */
} ran;

/* Runs it with these words, parted by blanks ('several words' are one, "" is an empty one).
   Standard input is `input`, empty where NULL. Free with ran_free. */
ran program(const char *input, const char *words);

/* The same with standard output on a file of its own; `out` is then empty. */
ran program_to(const char *path, const char *words);

/* What befalls the n-th call for files of each run from here on: "errno", "signal" or "short", and
   a number (see tests/fail/calls.c). */
void program_call(int which, const char *what, int number);

/* The name of that call in the last run; "" where there were fewer calls. Good until the next. */
const char *program_call_met(void);

/* Sends this signal so many milliseconds after the start of each run from here on; 0: none. */
void program_strike(int number, int milliseconds);

void ran_free(ran *r);

/* Runs it and fails the test unless it ends with this code, says `part` on standard output or,
   where the code is not 0 to 1, on standard error, and nothing at all on the other. */
void expect_run(const char *words, int code, const char *part);

/* Runs it whole with `whole` workers, then in so many shares with `each`: put one behind another,
   the shares have to be the whole table, to the byte. */
void expect_shares(const char *words, int shares, int whole, int each);

/* Names of the commands, as the program's own help lists them; how many there are. */
int program_commands(char names[64][16]);

/* Looks at the words that ask for the program's help, then for that of each command. */
void program_each_help(void (*look)(const char *words));

/* A folder of this test's own beside the program, without its last slash. */
const char *scratch_folder(void);

/* The path of a name in it, good until 16 more have been asked for; and of a file made there. */
const char *scratch_path(const char *name);
const char *scratch_file(const char *name, const char *bytes);

/* The bytes of a file, terminated; NULL where there is none. To be freed. */
char *file_bytes(const char *path);

#endif
