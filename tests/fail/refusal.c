#define _GNU_SOURCE /* dladdr */
/* refusal.c: see refusal.h. A program's own malloc stands before that of the C library for all
   that it is linked with. What lies below is the sanitizer's where there is one.
   SPDX-License-Identifier: MIT */
#include "refusal.h"

#include <dlfcn.h>
#include <errno.h>
#include <execinfo.h>
#include <signal.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* Longest time that a child may live on, s; frames looked at of a request, and those that make a
   place; files open at once. */
enum { LIFETIME = 120, FRAMES = 40, INNERMOST = 6, FILES = 16 };

/* Room for the chains of calls that have been met; a power of 2. */
enum { WAYS = 1 << 18 };

static struct {
    refusal *told;
    const char *what;
    bool watching; /* requests are counted and tried */
    bool refused;  /* in a child: the chosen request has been met */
    bool for_good; /* all requests after it are refused too, until refusal_end */
    int silent;    /* where a child's standard error goes */
    long live;
    const void *asker; /* the call of this request */
    long ways;
    unsigned long long way[WAYS]; /* their fingerprints; 0: none */
} state;

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *block, size_t size);
void __libc_free(void *block);
#pragma weak __gcov_dump
#pragma weak __interceptor_malloc
#pragma weak __interceptor_calloc
#pragma weak __interceptor_realloc
#pragma weak __interceptor_free
void __gcov_dump(void); /* where lines are counted */
void *__interceptor_malloc(size_t size);
void *__interceptor_calloc(size_t count, size_t size);
void *__interceptor_realloc(void *block, size_t size);
void __interceptor_free(void *block);

/* A last word. */
static void say(const char *words) {
    (void)!write(STDOUT_FILENO, words, strlen(words));
}

/* A fingerprint of the calls that led here (FNV-1a over their addresses). */
static unsigned long long way_here(int most) {
    void *frame[FRAMES];
    const int frames = backtrace(frame, FRAMES);
    int first = 0; /* behind what belongs to this file */
    while (first < frames - 1 && frame[first] != state.asker) {
        first++;
    }
    unsigned long long way = 0xCBF29CE484222325ULL;
    for (int k = first; k < frames && k < first + most; k++) {
        way = (way ^ (unsigned long long)(uintptr_t)frame[k]) * 0x100000001B3ULL;
    }
    return way != 0 ? way : 1;
}

/* Whether these calls have not been met before. */
static bool is_new_way(int frames) {
    const unsigned long long way = way_here(frames);
    size_t at = (size_t)(way ^ way >> 32) % WAYS;
    while (state.way[at] != 0 && state.way[at] != way) {
        at = (at + 1) % WAYS;
    }
    if (state.way[at] == way) {
        return false;
    }
    if (state.ways == WAYS / 2) {
        say("more chains of calls than there is room for\n");
        _exit(2);
    }
    state.way[at] = way;
    state.ways++;
    return true;
}

/* One of the requests that are tried: of those by chance the number k of a seeded series (Knuth's
   MMIX multiplier and increment). */
static bool is_chosen(const refusal *r) {
    if (r->stride < 0) {
        return is_new_way(r->stride == REFUSAL_WAYS ? FRAMES : INNERMOST);
    }
    unsigned long long x = r->seed + (unsigned long long)r->requests * 0x9E3779B97F4A7C15ULL;
    x = x * 6364136223846793005ULL + 1442695040888963407ULL;
    x ^= x >> 29;
    x = x * 6364136223846793005ULL + 1442695040888963407ULL;
    return r->stride > 0 && (x >> 33) % (unsigned long long)r->stride == 0;
}

/* What the parent says of a child that did not end well, behind the child's own reason: where it
   was refused, and what it said on standard error. */
static void tell(bool for_good) {
    char words[500];
    void *frame[FRAMES];
    printf(": %s, request %ld%s\n", state.what, state.told->requests,
           for_good ? " and all after it" : "");
    fflush(stdout);
    backtrace_symbols_fd(frame, backtrace(frame, FRAMES), STDOUT_FILENO);
    lseek(state.silent, 0, SEEK_SET);
    for (ssize_t length; (length = read(state.silent, words, sizeof words)) > 0;) {
        (void)!write(STDOUT_FILENO, words, (size_t)length);
    }
}

static void on_crash(int number) {
    say(number == SIGALRM ? "no end" : "a crash");
    signal(number, SIG_DFL);
    raise(number);
}

/* Requests that are let be, since their refusal ends the process in a library's own hands: SUNDIALS
   (6.4.1) writes through the NULL that it gets where it makes its context, its vectors, its
   matrices and its solvers. ode.c makes sure of their room first. KLU's requests on its behalf are
   tried. And NLopt's search by rectangles (2.7.1) keeps a block that it could not let grow. */
static bool is_let_be(void) {
    void *frame[FRAMES];
    const int frames = backtrace(frame, FRAMES);
    for (int k = 0; k < frames; k++) {
        Dl_info at;
        if (dladdr(frame[k], &at) == 0 || at.dli_fname == NULL) {
            continue;
        }
        if (strstr(at.dli_fname, "libklu") != NULL) {
            return false;
        }
        if (strstr(at.dli_fname, "libsundials") != NULL ||
            (at.dli_sname != NULL && strcmp(at.dli_sname, "cdirect_unscaled") == 0)) {
            return true;
        }
    }
    return false;
}

/* In the child. */
static void meet(bool for_good) {
    static const int crashes[] = {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT, SIGALRM};
    for (size_t k = 0; k < sizeof crashes / sizeof crashes[0]; k++) {
        signal(crashes[k], on_crash);
    }
    alarm(LIFETIME);
    (void)!ftruncate(state.silent, 0);
    lseek(state.silent, 0, SEEK_SET);
    dup2(state.silent, STDERR_FILENO);
    state.refused = true;
    state.for_good = for_good;
}

/* Goes on as a child that is refused (true), and as the parent that has waited for it. What both
   have open they read from one place, which the parent finds again. */
static bool live_on(refusal *r, bool for_good) {
    off_t place[FILES];
    for (int file = 0; file < FILES; file++) {
        place[file] = lseek(file, 0, SEEK_CUR);
    }
    fflush(stdout);
    const pid_t child = fork();
    if (child == 0) {
        meet(for_good);
        return true;
    }
    int status = 1;
    if (child < 0 || waitpid(child, &status, 0) != child || status != 0) {
        r->wrong++;
        tell(for_good);
    }
    r->tried++;
    for (int file = STDERR_FILENO + 1; file < FILES; file++) {
        (void)lseek(file, place[file], SEEK_SET); /* fails where none is open */
    }
    return false;
}

/* True in a child that is to be refused its memory. */
static bool is_refused(const void *asker) {
    if (!state.watching) {
        return false;
    }
    state.asker = asker;
    if (state.refused) {
        return state.for_good && !is_let_be();
    }
    refusal *const r = state.told;
    r->requests++;
    state.watching = false; /* a look at the calls may ask for memory itself */
    if (!is_chosen(r)) {
        state.watching = true;
        return false;
    }
    bool refused = false;
    const bool let_be = is_let_be();
    r->let_be += let_be;
    for (int for_good = 0; for_good < 2 && !refused && !let_be; for_good++) {
        refused = live_on(r, for_good != 0);
    }
    state.watching = true;
    return refused;
}

/* As the C library's own where there is none. */
static void *nothing(void) {
    errno = ENOMEM;
    return NULL;
}

#pragma GCC visibility push(default) /* for the libraries too */
/* The first backtrace loads a library, which LeakSanitizer takes for lost behind our malloc. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
    return "leak:_dl_map_object_deps";
}

const char *__lsan_default_options(void);
const char *__lsan_default_options(void) {
    return "print_suppressions=0";
}

void *malloc(size_t size) {
    if (is_refused(__builtin_return_address(0))) {
        return nothing();
    }
    void *const block =
        __interceptor_malloc != NULL ? __interceptor_malloc(size) : __libc_malloc(size);
    state.live += block != NULL;
    return block;
}

void *calloc(size_t count, size_t size) {
    if (is_refused(__builtin_return_address(0))) {
        return nothing();
    }
    void *const block = __interceptor_calloc != NULL ? __interceptor_calloc(count, size)
                                                     : __libc_calloc(count, size);
    state.live += block != NULL;
    return block;
}

void *realloc(void *block, size_t size) {
    if (size > 0 && is_refused(__builtin_return_address(0))) {
        return nothing();
    }
    void *const moved = __interceptor_realloc != NULL ? __interceptor_realloc(block, size)
                                                      : __libc_realloc(block, size);
    state.live += (block == NULL && moved != NULL) - (block != NULL && size == 0);
    return moved;
}

void free(void *block) {
    state.live -= block != NULL;
    if (__interceptor_free != NULL) {
        __interceptor_free(block);
    } else {
        __libc_free(block);
    }
}

#pragma GCC visibility pop

void refusal_begin(refusal *r, const char *what) {
    void *warm[1];
    (void)backtrace(warm, 1); /* the first loads what it needs */
    if (state.silent == 0) {
        state.silent = fileno(tmpfile());
    }
    state.told = r;
    state.what = what;
    if (r->stride == REFUSAL_WAYS) {
        state.ways = 0;
        memset(state.way, 0, sizeof state.way);
    }
    state.watching = true;
}

void refusal_end(void) {
    state.watching = false;
}

bool refusal_met(void) {
    return state.refused;
}

void refusal_judge(const char *wrong) {
    state.watching = false;
    if (wrong == NULL && !state.told->speaks && lseek(state.silent, 0, SEEK_END) > 0) {
        wrong = "the library is not silent";
    }
    if (wrong != NULL) {
        say(wrong);
    }
    if (__gcov_dump != NULL) {
        __gcov_dump();
    }
    _exit(wrong != NULL);
}

long refusal_live(void) {
    return state.live;
}
