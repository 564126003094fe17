#include "cli/sink.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/interrupt.h"

/* Links followed one after another before they are taken for a circle. */
enum { LINKS_MOST = 40 };

static bool write_all(int descriptor, const char *bytes, size_t length) {
    while (length > 0) {
        const ssize_t done = write(descriptor, bytes, length);
        if (done < 0 && errno == EINTR) {
            continue;
        }
        if (done < 0) {
            return false;
        }
        bytes += done;
        length -= (size_t)done;
    }
    return true;
}

/* `path` NULL: standard output. */
static bool failed(const char *path) {
    const char *reason = strerror(errno);
    const char *quote = path != NULL ? "`" : "";
    fprintf(stderr, "baronet: cannot write %s%s%s: %s\n", quote,
            path != NULL ? path : "standard output", quote, reason);
    return false;
}

/* A reader that has gone away has seen what it wanted. */
static bool write_stream(int descriptor, const char *path, const char *bytes, size_t length) {
    return write_all(descriptor, bytes, length) || errno == EPIPE || failed(path);
}

static bool write_device(const char *path, const char *bytes, size_t length) {
    const int descriptor = open(path, O_WRONLY);
    if (descriptor < 0) {
        return failed(path);
    }
    const bool written = write_stream(descriptor, path, bytes, length);
    const bool closed = close(descriptor) == 0;
    return written && (closed || failed(path));
}

/* `name` in the folder that `path` is in, or as it is where it starts from the root. */
static char *beside(const char *path, const char *name) {
    const char *slash = name[0] == '/' ? NULL : strrchr(path, '/');
    const size_t folder = slash != NULL ? (size_t)(slash - path) + 1 : 0;
    char *joined = malloc(folder + strlen(name) + 1);
    if (joined != NULL) {
        memcpy(joined, path, folder);
        strcpy(joined + folder, name);
    }
    return joined;
}

/* The file that a path leads to over links, there or not, for a rename would replace the link
   itself. NULL, with the reason in errno, where it cannot be told. */
static char *follow_links(const char *path) {
    char *at = beside("", path);
    for (int k = 0; at != NULL && k < LINKS_MOST; k++) {
        char target[PATH_MAX];
        const ssize_t length = readlink(at, target, sizeof target - 1);
        if (length < 0 && (errno == EINVAL || errno == ENOENT)) {
            return at; /* no link, or nothing yet */
        }
        if (length < 0) {
            free(at);
            return NULL;
        }
        target[length] = '\0';
        char *next = beside(at, target);
        free(at);
        at = next;
    }
    errno = at != NULL ? ELOOP : errno;
    free(at);
    return NULL;
}

/* The rights that a new file gets. */
static mode_t new_rights(void) {
    const mode_t mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

/* Gives a new file the rights and the owner of the one that it takes the place of. Where the file
   system has no such rights, as on memory sticks, it has those that all files there have. */
static bool take_over(int descriptor, const struct stat *old) {
    const mode_t rights = old != NULL ? old->st_mode & 0777 : new_rights();
    if (old != NULL && fchown(descriptor, old->st_uid, old->st_gid) != 0) {
        /* Only the superuser may give files away: it stays with whoever asked for it. */
    }
    return fchmod(descriptor, rights) == 0 || errno == EPERM;
}

/* Fills a new file, brings it to the disk and closes it. */
static bool fill_file(int descriptor, const struct stat *old, const char *bytes, size_t length) {
    const bool filled = write_all(descriptor, bytes, length) && take_over(descriptor, old) &&
                        fsync(descriptor) == 0;
    const int reason = errno;
    const bool closed = close(descriptor) == 0;
    errno = filled ? errno : reason;
    return filled && closed;
}

static bool is_interrupted(void) {
    const bool waits = interrupts_wait();
    errno = waits ? EINTR : errno;
    return waits;
}

/* The new file has a short name of its own: the old name with anything added could be too long.
   Interrupts wait until it stands in the old one's place or is gone. */
static bool replace_file(const char *path, const struct stat *old, const char *bytes,
                         size_t length) {
    interrupts held;
    interrupts_hold(&held);
    char *name = beside(path, ".baronet-XXXXXX");
    const int descriptor = name != NULL ? mkstemp(name) : -1;
    const bool made = descriptor >= 0;
    const bool done = made && fill_file(descriptor, old, bytes, length) && !is_interrupted() &&
                      rename(name, path) == 0;
    const int reason = errno;
    if (made && !done) {
        unlink(name);
    }
    free(name);
    interrupts_release(&held);
    errno = reason;
    return done;
}

/* A file that may not be written is not replaced either, though its folder would allow it. */
static bool write_file(const char *path, const struct stat *old, const char *bytes, size_t length) {
    char *target = follow_links(path);
    const bool done = target != NULL && (old == NULL || access(target, W_OK) == 0) &&
                      replace_file(target, old, bytes, length);
    const int reason = errno;
    free(target);
    errno = reason;
    return done || failed(path);
}

/* Whether a path is what standard output is open on already, /dev/stdout above all: a rename would
   cut off what else is written there. */
static bool is_standard_output(const struct stat *file) {
    struct stat standard;
    return fstat(STDOUT_FILENO, &standard) == 0 && standard.st_dev == file->st_dev &&
           standard.st_ino == file->st_ino;
}

bool sink_write(const char *path, const char *bytes, size_t length) {
    struct stat old;
    const bool standard = path == NULL || strcmp(path, "-") == 0;
    const bool there = !standard && stat(path, &old) == 0;
    if (standard || (there && is_standard_output(&old))) {
        return write_stream(STDOUT_FILENO, NULL, bytes, length);
    }
    if (!there && errno != ENOENT) {
        return failed(path);
    }
    if (there && !S_ISREG(old.st_mode)) {
        return write_device(path, bytes, length);
    }
    return write_file(path, there ? &old : NULL, bytes, length);
}

bool sink_flush(void) {
    return fflush(stdout) == 0 || errno == EPIPE || failed(NULL);
}
