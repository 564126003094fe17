/* Where output goes: files whole or not at all, links, devices, pipes. */
#include "program.h"

#include <criterion/criterion.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define CHECK "check netlists/rear.air"

/* What the program says to standard output, for comparison; to be freed. */
static char *said(void) {
    ran r = program(NULL, CHECK);
    cr_assert_eq(r.code, 0, "%s", r.err);
    free(r.err);
    return r.out;
}

static ran check_to(const char *path) {
    char words[900];
    snprintf(words, sizeof words, CHECK " --out %s", path);
    return program(NULL, words);
}

static void expect_bytes(const char *path, const char *expected) {
    char *const bytes = file_bytes(path);
    cr_expect(bytes != NULL && strcmp(bytes, expected) == 0, "%s holds %s", path,
              bytes != NULL ? bytes : "nothing");
    free(bytes);
}

/* Nothing but what was there before is left in the folder. */
static void expect_files(int expected) {
    char words[900];
    snprintf(words, sizeof words, "ls -A %s | wc -l", scratch_folder());
    FILE *const list = popen(words, "r");
    int count = -1;
    cr_assert_eq(fscanf(list, "%d", &count), 1);
    pclose(list);
    cr_expect_eq(count, expected, "%d files in %s", count, scratch_folder());
}

static mode_t rights_of(const char *path) {
    struct stat s;
    cr_assert_eq(stat(path, &s), 0);
    return s.st_mode & 0777;
}

static void expect_written(const char *path, const char *expected) {
    ran r = check_to(path);
    cr_expect_eq(r.code, 0, "%s: %s", path, r.err);
    cr_expect_str_eq(r.out, "");
    cr_expect_str_eq(r.err, "");
    expect_bytes(path, expected);
    ran_free(&r);
}

static void expect_failure(const char *path, const char *reason) {
    ran r = check_to(path);
    cr_expect_eq(r.code, 5, "%s ends with %d", path, r.code);
    cr_expect_str_eq(r.out, "");
    char words[900];
    snprintf(words, sizeof words, "baronet: cannot write `%s`: %s\n", path, reason);
    cr_expect_str_eq(r.err, words, "%s", r.err);
    ran_free(&r);
}

Test(sink, a_new_file_has_ordinary_rights) {
    char *const expected = said();
    umask(027);
    const char *path = scratch_path("new.txt");
    expect_written(path, expected);
    cr_expect_eq(rights_of(path), 0640);
    expect_files(1);
    free(expected);
}

Test(sink, an_old_file_is_replaced_and_keeps_its_rights) {
    char *const expected = said();
    const char *path = scratch_file("old.txt", "old words that are longer than nothing\n");
    cr_assert_eq(chmod(path, 0604), 0);
    expect_written(path, expected);
    cr_expect_eq(rights_of(path), 0604);
    expect_files(1);
    free(expected);
}

/* A reader that holds the old file open keeps the old words: the new ones are another file. */
Test(sink, a_file_is_never_half_written) {
    char *const expected = said();
    const char *path = scratch_file("held.txt", "old");
    FILE *const held = fopen(path, "r");
    expect_written(path, expected);
    char old[8] = "";
    cr_expect_eq(fread(old, 1, sizeof old - 1, held), 3);
    cr_expect_str_eq(old, "old");
    fclose(held);
    free(expected);
}

Test(sink, a_link_is_followed) {
    char *const expected = said();
    const char *path = scratch_file("target.txt", "old");
    const char *direct = scratch_path("direct"), *chain = scratch_path("chain");
    cr_assert_eq(symlink("target.txt", direct), 0);
    cr_assert_eq(symlink("direct", chain), 0);
    expect_written(chain, expected);
    expect_bytes(path, expected);
    struct stat s;
    cr_assert_eq(lstat(chain, &s), 0);
    cr_expect(S_ISLNK(s.st_mode), "the link itself stays");
    cr_assert_eq(lstat(direct, &s), 0);
    cr_expect(S_ISLNK(s.st_mode));
    expect_files(3);
    free(expected);
}

Test(sink, a_link_to_what_is_not_there_makes_it) {
    char *const expected = said();
    const char *path = scratch_path("dangling");
    cr_assert_eq(symlink("later.txt", path), 0);
    expect_written(path, expected);
    expect_bytes(scratch_path("later.txt"), expected);
    expect_files(2);
    free(expected);
}

Test(sink, links_in_a_circle_are_refused) {
    const char *a = scratch_path("a"), *b = scratch_path("b");
    cr_assert_eq(symlink("b", a), 0);
    cr_assert_eq(symlink("a", b), 0);
    expect_failure(a, "Too many levels of symbolic links");
    expect_files(2);
}

Test(sink, a_name_may_be_as_long_as_names_may_be) {
    char *const expected = said();
    char name[256];
    memset(name, 'n', 255);
    name[255] = '\0';
    expect_written(scratch_path(name), expected);
    expect_files(1);
    free(expected);
}

Test(sink, failures_say_why_and_leave_the_old_file) {
    const char *file = scratch_file("file.txt", "old");
    char path[700];
    snprintf(path, sizeof path, "%s/below", file);
    expect_failure(path, "Not a directory");
    expect_failure(scratch_path("no/such/folder"), "No such file or directory");
    expect_failure(scratch_folder(), "Is a directory");
    expect_failure("/dev/full", "No space left on device");
    expect_bytes(file, "old");
    expect_files(1);
}

/* A file limit stands for a disk that is full: nothing is left of the attempt. */
Test(sink, a_full_disk_leaves_the_old_file) {
    const char *path = scratch_file("kept.txt", "old");
    char words[1200];
    snprintf(words, sizeof words, "ulimit -f 0; $BARONET " CHECK " --out %s 2>/dev/null", path);
    const int status = system(words);
    cr_expect_eq(WEXITSTATUS(status), 5);
    expect_bytes(path, "old");
    expect_files(1);
}

Test(sink, a_file_that_may_not_be_written_is_not_replaced) {
    const char *path = scratch_file("locked.txt", "old");
    cr_assert_eq(chmod(path, 0444), 0);
    if (access(path, W_OK) == 0) {
        cr_log_info("the superuser may write anything");
        return;
    }
    expect_failure(path, "Permission denied");
    expect_bytes(path, "old");
}

Test(sink, devices_and_standard_output_are_written_as_they_are) {
    char *const expected = said();
    static const char *const names[] = {"-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        ran r = check_to(names[i]);
        cr_expect_eq(r.code, 0, "%s: %s", names[i], r.err);
        cr_expect_str_eq(r.out, expected, "%s", names[i]);
        ran_free(&r);
    }
    ran r = check_to("/dev/null");
    cr_expect_eq(r.code, 0, "%s", r.err);
    ran_free(&r);
    struct stat s;
    cr_assert_eq(stat("/dev/null", &s), 0);
    cr_expect(S_ISCHR(s.st_mode), "/dev/null is a device still");
    free(expected);
}

/* What a shell appends to is appended to, whether by its name or as /dev/stdout. */
Test(sink, standard_output_on_a_file_is_not_cut_off) {
    char *const expected = said();
    const char *path = scratch_file("log.txt", "before\n");
    char words[1200];
    snprintf(words, sizeof words, CHECK " --out %s", "/dev/stdout");
    ran r = program_to(path, words);
    cr_expect_eq(r.code, 0, "%s", r.err);
    ran_free(&r);
    snprintf(words, sizeof words, CHECK " --out %s", path);
    r = program_to(path, words);
    cr_expect_eq(r.code, 0, "%s", r.err);
    ran_free(&r);
    const size_t room = 2 * strlen(expected) + 16;
    char *const all = malloc(room);
    snprintf(all, room, "before\n%s%s", expected, expected);
    expect_bytes(path, all);
    free(all);
    free(expected);
}

Test(sink, a_named_pipe_is_written_to) {
    char *const expected = said();
    const char *path = scratch_path("pipe");
    cr_assert_eq(mkfifo(path, 0600), 0);
    char words[1800];
    snprintf(words, sizeof words,
             "cat %s > %s & $BARONET " CHECK " --out %s; code=$?; wait; exit $code", path,
             scratch_path("through.txt"), path);
    const int status = system(words);
    cr_expect_eq(WEXITSTATUS(status), 0);
    expect_bytes(scratch_path("through.txt"), expected);
    free(expected);
}

/* Runs a shell line whose last reader goes away, and gives the program's own exit code. */
static int code_before(const char *words) {
    char line[600];
    snprintf(line, sizeof line, "{ $BARONET %s; echo $? > %s/code; } | true", words,
             scratch_folder());
    cr_assert_neq(system(line), -1);
    char *const bytes = file_bytes(scratch_path("code"));
    cr_assert_not_null(bytes);
    const int code = atoi(bytes);
    free(bytes);
    return code;
}

Test(sink, a_reader_that_has_gone_away_is_no_error) {
    static const char *const lines[] = {
        "rates netlists/camper.air", "rates netlists/camper.air --as csv",
        "stroke netlists/camper.air --as csv --points 3000 --out /dev/stdout", "--help",
        "rates --help"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        cr_expect_eq(code_before(lines[i]), 0, "%s", lines[i]);
    }
}

Test(sink, standard_output_that_is_full_or_shut_is_an_error) {
    static const char *const lines[] = {CHECK, "--help", "--version", "states --help"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        ran r = program_to("/dev/full", lines[i]);
        cr_expect_eq(r.code, 5, "%s ends with %d", lines[i], r.code);
        cr_expect_str_eq(r.err, "baronet: cannot write standard output: No space left on device\n");
        ran_free(&r);
    }
    const int status = system("$BARONET " CHECK " >&- 2>/dev/null");
    cr_expect_eq(WEXITSTATUS(status), 5);
}

/* A line of the program, and how many files it writes in the scratch folder. */
typedef struct line {
    const char *words;
    int files;
} line;

#define CHANGES                                                                                    \
    "--change left-tank.volume=1L..9L --want 'ride_frequency of RL below 1.5 Hz settled in soft'"

static const line lines[] = {
    {"check netlists/rear.air --out %s", 1},
    {"rates netlists/rear.air --as json --out %s", 1},
    {"draw netlists/rear.air --out %s", 1},
    {"report netlists/rear.air --out %s", 1},
    {"size netlists/rear.air " CHANGES " --write %s --out /dev/null", 1},
    {"size netlists/rear.air " CHANGES " --write %s --out %s", 2},
};

enum { LINES = sizeof lines / sizeof lines[0], FILES_MOST = 2 };

/* The files of a line: their paths, and what is in them in the end where nothing fails. */
typedef struct written {
    char words[1600];
    const char *path[FILES_MOST];
    char *whole[FILES_MOST];
    int code;
} written;

#define OLD "words that were there before\n"

static void write_old(written *w, int files) {
    for (int k = 0; k < files; k++) {
        w->path[k] = scratch_file(k == 0 ? "first" : "second", OLD);
    }
}

static written write_whole(const line *l) {
    written w = {0};
    write_old(&w, l->files);
    snprintf(w.words, sizeof w.words, l->words, w.path[0], w.path[1]);
    ran r = program(NULL, w.words);
    w.code = r.code;
    cr_assert(r.code == 0 || r.code == 1, "%s: %s", w.words, r.err);
    ran_free(&r);
    for (int k = 0; k < l->files; k++) {
        w.whole[k] = file_bytes(w.path[k]);
        cr_assert_neq(strcmp(w.whole[k], OLD), 0);
    }
    return w;
}

static void forget(written *w) {
    for (int k = 0; k < FILES_MOST; k++) {
        free(w->whole[k]);
    }
}

/* Each file is the old one or the new, whole; how many are the old. */
static int count_old(const written *w, int files, const char *what) {
    int old = 0;
    for (int k = 0; k < files; k++) {
        char *const bytes = file_bytes(w->path[k]);
        cr_assert_not_null(bytes, "%s: %s is gone", what, w->path[k]);
        const bool is_old = strcmp(bytes, OLD) == 0;
        cr_expect(is_old || strcmp(bytes, w->whole[k]) == 0, "%s: %s is neither", what, w->path[k]);
        old += is_old;
        free(bytes);
    }
    return old;
}

/* The message of a file that could not be written names it; false where it names none of them. */
static bool is_named(const char *message, const written *w, int files, int number) {
    for (int k = 0; k <= files; k++) {
        char words[900];
        snprintf(words, sizeof words, "baronet: cannot write `%s`: %s\n",
                 k < files ? w->path[k] : "/dev/null", strerror(number));
        if (strcmp(message, words) == 0) {
            return true;
        }
    }
    return false;
}

/* Calls without which no file is written. Others are looked over, or their failure shows later. */
static bool is_needed(const char *name) {
    static const char *const needed[] = {"readlink", "access", "mkstemp", "open", "fchmod",
                                         "fsync",    "rename", "close",   "write"};
    for (size_t k = 0; k < sizeof needed / sizeof needed[0]; k++) {
        if (strcmp(name, needed[k]) == 0) {
            return true;
        }
    }
    return false;
}

/* One call fails: all is written, where it did not matter, or the message says what is not. */
static bool fail_call(written *w, int files, int which, int number) {
    char what[1800];
    write_old(w, files);
    program_call(which, "errno", number);
    ran r = program(NULL, w->words);
    const char *name = program_call_met();
    snprintf(what, sizeof what, "%s, %s (call %d)", w->words, name, which);
    const int old = count_old(w, files, what);
    if (r.code == w->code) {
        cr_expect_eq(old, 0, "%s: not all is written", what);
        cr_expect(!is_needed(name), "%s: no failure", what);
    } else {
        cr_expect_eq(r.code, 5, "%s: ends with %d", what, r.code);
        cr_expect(is_named(r.err, w, files, number), "%s: %s", what, r.err);
    }
    expect_files(files);
    ran_free(&r);
    return name[0] != '\0';
}

Test(sink, each_call_fails_and_leaves_the_old_file) {
    for (int k = 0; k < LINES; k++) {
        written w = write_whole(&lines[k]);
        int calls = 0;
        while (fail_call(&w, lines[k].files, calls + 1, k % 2 == 0 ? ENOSPC : EIO)) {
            calls++;
        }
        cr_expect_geq(calls, 11 * lines[k].files, "%s: %d calls", w.words, calls);
        forget(&w);
        program_call(0, "none", 0);
    }
}

/* The old file has been written in part only where the program is killed at once, which leaves the
   unfinished file beside it. */
Test(sink, a_kill_leaves_the_old_file_or_the_new) {
    const line *l = &lines[LINES - 1];
    written w = write_whole(l);
    for (int which = 1, met = 1; met; which++) {
        write_old(&w, l->files);
        program_call(which, "signal", SIGKILL);
        ran r = program(NULL, w.words);
        met = r.signal == SIGKILL;
        cr_expect(met || r.code == w.code, "call %d: ends with %d", which, r.code);
        (void)count_old(&w, l->files, program_call_met());
        ran_free(&r);
    }
    forget(&w);
}

/* Each write may take less than it was given. */
Test(sink, short_writes_go_on) {
    const line *l = &lines[0];
    written w = write_whole(l);
    for (int which = 1; which < 14; which++) {
        write_old(&w, l->files);
        program_call(which, "short", 1);
        ran r = program(NULL, w.words);
        cr_expect_eq(r.code, 0, "call %d: %s", which, r.err);
        cr_expect_eq(count_old(&w, l->files, "short"), 0);
        ran_free(&r);
    }
    forget(&w);
}

/* Memory sticks have no rights of a file's own, and refuse to set them. */
Test(sink, a_file_system_without_rights_is_written_to) {
    const line *l = &lines[0];
    written w = write_whole(l);
    bool met = false;
    for (int which = 1; which < 14 && !met; which++) {
        write_old(&w, l->files);
        program_call(which, "errno", EPERM);
        ran r = program(NULL, w.words);
        met = strcmp(program_call_met(), "fchmod") == 0;
        cr_expect(!met || r.code == 0, "%s", r.err);
        cr_expect(!met || count_old(&w, l->files, "fchmod") == 0);
        ran_free(&r);
    }
    cr_expect(met);
    forget(&w);
}
