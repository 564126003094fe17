/* calls.c: the program's calls of the system for files, counted; what befalls one of them is said
   in BARONET_CALL:
       3 errno 28   the third fails with that reason
       3 signal 15  this signal comes just before the third
       3 short 1    where the third is a write, it takes one byte only
   The name of the call, once it has been met, goes to the file that BARONET_CALL_MET names. Linked
   into the program with --wrap.
   SPDX-License-Identifier: MIT */
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* __wrap_NAME stands before the system's own, which is __real_NAME: false where it is to fail. */
#define WRAP(type, name, parameters, arguments)                                                    \
    type __real_##name parameters;                                                                 \
    type __wrap_##name parameters;                                                                 \
    type __wrap_##name parameters {                                                                \
        return is_spared(#name, NULL) ? __real_##name arguments : (type)-1;                        \
    }

static int seen;
static int over; /* the program has ended: what counts lines writes its files only then */

static void end(void) {
    over = 1;
}

static void tell(const char *name) {
    const char *const path = getenv("BARONET_CALL_MET");
    FILE *const file = path != NULL ? fopen(path, "w") : NULL;
    if (file != NULL) {
        fputs(name, file);
        fclose(file);
    }
}

/* Whether this call is the one, and what befalls it. */
static int met(const char *name, char what[8]) {
    const char *const said = getenv("BARONET_CALL");
    int which = 0, number = 0;
    if (seen == 0) {
        atexit(end);
    }
    if (over || said == NULL || sscanf(said, "%d %7s %d", &which, what, &number) != 3 ||
        ++seen != which) {
        return 0;
    }
    tell(name);
    return number;
}

/* False where the call is to fail; `*most` becomes the bytes that a write may take. */
static int is_spared(const char *name, size_t *most) {
    char what[8] = "";
    const int number = met(name, what);
    if (number > 0 && strcmp(what, "signal") == 0) {
        raise(number);
    }
    if (number > 0 && strcmp(what, "short") == 0 && most != NULL && *most > (size_t)number) {
        *most = (size_t)number;
    }
    const int fails = number > 0 && strcmp(what, "errno") == 0;
    errno = fails ? number : errno;
    return !fails;
}

WRAP(int, stat, (const char *path, struct stat *s), (path, s))
WRAP(int, fstat, (int file, struct stat *s), (file, s))
WRAP(ssize_t, readlink, (const char *path, char *to, size_t room), (path, to, room))
WRAP(int, access, (const char *path, int mode), (path, mode))
WRAP(int, mkstemp, (char *name), (name))
WRAP(int, open, (const char *path, int flags), (path, flags))
WRAP(int, fchown, (int file, uid_t owner, gid_t group), (file, owner, group))
WRAP(int, fchmod, (int file, mode_t rights), (file, rights))
WRAP(int, fsync, (int file), (file))
WRAP(int, rename, (const char *from, const char *to), (from, to))
WRAP(int, unlink, (const char *path), (path))

/* A file that could not be closed is closed all the same. */
int __real_close(int file);
int __wrap_close(int file);
int __wrap_close(int file) {
    const int spared = is_spared("close", NULL), reason = errno;
    const int closed = __real_close(file);
    errno = spared ? errno : reason;
    return spared ? closed : -1;
}

ssize_t __real_write(int file, const void *bytes, size_t length);
ssize_t __wrap_write(int file, const void *bytes, size_t length);
ssize_t __wrap_write(int file, const void *bytes, size_t length) {
    return is_spared("write", &length) ? __real_write(file, bytes, length) : -1;
}
