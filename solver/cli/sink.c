#include "cli/sink.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

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

static bool failed(const char *path) {
    fprintf(stderr, "baronet: cannot write `%s`: %s\n", path, strerror(errno));
    return false;
}

static bool write_standard(const char *bytes, size_t length) {
    if (write_all(STDOUT_FILENO, bytes, length) || errno == EPIPE) {
        return true;
    }
    return failed("standard output");
}

static bool write_device(const char *path, const char *bytes, size_t length) {
    const int descriptor = open(path, O_WRONLY);
    if (descriptor < 0) {
        return failed(path);
    }
    const bool written = write_all(descriptor, bytes, length);
    const bool closed = close(descriptor) == 0;
    return (written && closed) || failed(path);
}

/* The rights that a new file gets, or those of the file that it takes the place of. */
static mode_t rights(const struct stat *old) {
    if (old != NULL) {
        return old->st_mode & 0777;
    }
    const mode_t mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

static bool replace_file(const char *path, const struct stat *old, const char *bytes,
                         size_t length) {
    static const char ending[] = ".XXXXXX";
    char *name = malloc(strlen(path) + sizeof ending);
    if (name == NULL) {
        return failed(path);
    }
    strcpy(name, path);
    strcat(name, ending);
    const int descriptor = mkstemp(name);
    bool done = descriptor >= 0;
    if (done) {
        done = write_all(descriptor, bytes, length) && fchmod(descriptor, rights(old)) == 0 &&
               fsync(descriptor) == 0;
        done = close(descriptor) == 0 && done;
        done = done && rename(name, path) == 0;
        if (!done) {
            const int reason = errno;
            unlink(name);
            errno = reason;
        }
    }
    free(name);
    return done || failed(path);
}

bool sink_write(const char *path, const char *bytes, size_t length) {
    if (path == NULL || strcmp(path, "-") == 0) {
        return write_standard(bytes, length);
    }
    struct stat old;
    const bool there = stat(path, &old) == 0;
    if (there && !S_ISREG(old.st_mode)) {
        return write_device(path, bytes, length);
    }
    return replace_file(path, there ? &old : NULL, bytes, length);
}
