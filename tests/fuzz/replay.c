/* The same targets without a fuzzer: takes the files named, one after another, and tells which took
   longest.
   SPDX-License-Identifier: MIT */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "input.h"

/* In a block of its very length, so that a byte read beyond it is seen. False where it cannot be
   read. */
static bool take(const char *path) {
    static char all[1 << 20];
    FILE *const file = fopen(path, "rb");
    const size_t size = file ? fread(all, 1, sizeof all, file) : 0;
    uint8_t *const data = file && !ferror(file) ? malloc(size > 0 ? size : 1) : NULL;
    if (file)
        fclose(file);
    for (size_t k = 0; data && k < size; k++)
        data[k] = (uint8_t)all[k];
    if (data)
        LLVMFuzzerTestOneInput(data, size);
    free(data);
    return data != NULL;
}

int main(int count, char **paths) {
    const char *slowest = "none";
    double longest = 0.0;
    for (int k = 1; k < count; k++) {
        const clock_t start = clock();
        fprintf(stderr, "%s\n", paths[k]); /* the last one is the one at fault */
        if (!take(paths[k]))
            return 1;
        const double took = (double)(clock() - start) / CLOCKS_PER_SEC;
        if (took > longest) {
            longest = took;
            slowest = paths[k];
        }
    }
    printf("%d inputs, the slowest %.2f s: %s\n", count - 1, longest, slowest);
    return 0;
}
