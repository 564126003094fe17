/* program.c: see program.h.
   SPDX-License-Identifier: MIT */
#include "program.h"

#include <criterion/criterion.h>
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { MOST_WORDS = 140 };

/* Everything in a file that is open, from its start. */
static char *read_all(FILE *file, size_t *length) {
    cr_assert_eq(fseek(file, 0, SEEK_END), 0);
    const long size = ftell(file);
    cr_assert_geq(size, 0);
    rewind(file);
    char *const bytes = malloc((size_t)size + 1);
    cr_assert_not_null(bytes);
    *length = fread(bytes, 1, (size_t)size, file);
    bytes[*length] = '\0';
    return bytes;
}

/* Takes the words apart in place; what stands between single quotes is one word. */
static void split(char *words, char **argument) {
    int count = 1;
    for (char *at = words + strspn(words, " "); *at != '\0'; at += strspn(at, " ")) {
        const bool quoted = *at == '\'';
        char *const word = at + quoted;
        at = word + strcspn(word, quoted ? "'" : " ");
        if (*at != '\0') {
            *at++ = '\0';
        }
        cr_assert_lt(count, MOST_WORDS);
        argument[count++] = strcmp(word, "\"\"") == 0 ? word + 2 : word;
    }
    argument[count] = NULL;
}

static void become(char **argument, int input, int output, int error) {
    dup2(input, STDIN_FILENO);
    dup2(output, STDOUT_FILENO);
    dup2(error, STDERR_FILENO);
    execv(argument[0], argument);
    _exit(127);
}

static struct { int number, milliseconds; } strike;

void program_strike(int number, int milliseconds) {
    strike.number = number;
    strike.milliseconds = milliseconds;
}

static ran run(const char *input, const char *words, FILE *out) {
    char *argument[MOST_WORDS + 1] = {getenv("BARONET")};
    cr_assert_not_null(argument[0], "BARONET names no program");
    char *const copy = strdup(words);
    FILE *const in = tmpfile(), *const err = tmpfile();
    cr_assert(copy != NULL && in != NULL && err != NULL && out != NULL);
    split(copy, argument);
    fputs(input != NULL ? input : "", in);
    cr_assert_eq(fflush(in), 0);
    rewind(in);
    const pid_t child = fork();
    cr_assert_geq(child, 0);
    if (child == 0) {
        become(argument, fileno(in), fileno(out), fileno(err));
    }
    if (strike.number > 0) {
        const struct timespec moment = {0, strike.milliseconds * 1000000L};
        nanosleep(&moment, NULL);
        kill(child, strike.number);
    }
    int status = 0;
    cr_assert_eq(waitpid(child, &status, 0), child);
    ran r = {.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1,
             .signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0};
    size_t length = 0;
    r.err = read_all(err, &length);
    fclose(in);
    fclose(err);
    free(copy);
    return r;
}

ran program(const char *input, const char *words) {
    FILE *const out = tmpfile();
    ran r = run(input, words, out);
    r.out = read_all(out, &r.length);
    fclose(out);
    return r;
}

ran program_to(const char *path, const char *words) {
    FILE *const out = fopen(path, "ab");
    ran r = run(NULL, words, out);
    fclose(out);
    r.out = strdup("");
    return r;
}

void program_call(int which, const char *what, int number) {
    static char path[400], met[600];
    char said[40];
    if (path[0] == '\0') {
        snprintf(path, sizeof path, "%s-calls", getenv("BARONET"));
        snprintf(met, sizeof met, "%s-met", scratch_folder());
        setenv("BARONET", path, 1);
        setenv("BARONET_CALL_MET", met, 1);
    }
    snprintf(said, sizeof said, "%d %s %d", which, what, number);
    setenv("BARONET_CALL", said, 1);
    remove(met);
}

const char *program_call_met(void) {
    static char name[40];
    char *const bytes = file_bytes(getenv("BARONET_CALL_MET"));
    snprintf(name, sizeof name, "%s", bytes != NULL ? bytes : "");
    free(bytes);
    return name;
}

void ran_free(ran *r) {
    free(r->out);
    free(r->err);
    *r = (ran){0};
}

void expect_run(const char *words, int code, const char *part) {
    ran r = program(NULL, words);
    cr_expect_eq(r.code, code, "`%s` ends with %d, not %d, and says: %s", words, r.code, code,
                 r.err);
    const char *said = code < 2 ? r.out : r.err, *unsaid = code < 2 ? r.err : r.out;
    cr_expect_not_null(strstr(said, part), "`%s` says:\n%s\nwithout: %s", words, said, part);
    cr_expect_str_eq(unsaid, "", "`%s`", words);
    ran_free(&r);
}

void expect_shares(const char *words, int shares, int whole, int each) {
    char line[512];
    snprintf(line, sizeof line, "%s --workers %d", words, whole);
    ran all = program(NULL, line);
    cr_assert_eq(all.code, 0, "%s", all.err);
    char *joined = calloc(all.length + 1000, 1);
    cr_assert_not_null(joined);
    for (int share = 1; share <= shares; share++) {
        snprintf(line, sizeof line, "%s --workers %d --share %d/%d", words, each, share, shares);
        ran part = program(NULL, line);
        cr_assert_eq(part.code, 0, "%s", part.err);
        cr_assert_leq(strlen(joined) + part.length, all.length, "more than the whole");
        strcat(joined, part.out);
        ran_free(&part);
    }
    cr_expect_str_eq(joined, all.out);
    free(joined);
    ran_free(&all);
}

int program_commands(char names[64][16]) {
    ran r = program(NULL, "--help");
    const char *line = strstr(r.out, "usage:");
    cr_assert_not_null(line);
    int count = 0;
    for (line = strstr(line, "\n\n") + 2; *line == ' '; line += strcspn(line, "\n") + 1) {
        /* A name stands after two blanks; lines that carry on have more. */
        if (line[2] != ' ' && sscanf(line, "  %15s", names[count]) == 1) {
            count++;
        }
    }
    ran_free(&r);
    cr_assert_geq(count, 6, "%d commands", count);
    return count;
}

void program_each_help(void (*look)(const char *words)) {
    char names[64][16];
    const int count = program_commands(names);
    look("--help");
    for (int k = 0; k < count; k++) {
        char words[64];
        snprintf(words, sizeof words, "%.15s --help", names[k]);
        look(words);
    }
}

const char *scratch_folder(void) {
    static char folder[300];
    if (folder[0] == '\0') {
        const char *beside = getenv("BARONET");
        cr_assert_not_null(beside);
        const int length = (int)(strlen(beside) - strlen("baronet"));
        snprintf(folder, sizeof folder, "%.*sscratch", length, beside);
        cr_assert(mkdir(folder, 0777) == 0 || errno == EEXIST, "%s", folder);
        snprintf(folder, sizeof folder, "%.*sscratch/XXXXXX", length, beside);
        cr_assert_not_null(mkdtemp(folder));
    }
    return folder;
}

const char *scratch_path(const char *name) {
    static char paths[16][600];
    static int count;
    char *const path = paths[count++ % 16];
    snprintf(path, sizeof paths[0], "%s/%s", scratch_folder(), name);
    return path;
}

const char *scratch_file(const char *name, const char *bytes) {
    const char *path = scratch_path(name);
    FILE *const file = fopen(path, "wb");
    cr_assert_not_null(file, "%s", path);
    cr_assert_geq(fputs(bytes, file), 0);
    cr_assert_eq(fclose(file), 0);
    return path;
}

char *file_bytes(const char *path) {
    FILE *const file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    size_t length = 0;
    char *const bytes = read_all(file, &length);
    fclose(file);
    return bytes;
}
