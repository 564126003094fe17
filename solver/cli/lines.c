#include "cli/lines.h"

#include <string.h>

enum { COLUMNS = 80 };

void lines_print(FILE *to, size_t column, const char *words) {
    size_t at = column;
    while (*words != '\0') {
        const size_t length = strcspn(words, " \n");
        if (at > column && at + 1 + length > COLUMNS) {
            fprintf(to, "\n%*s", (int)column, "");
            at = column;
        }
        fprintf(to, "%s%.*s", at > column ? " " : "", (int)length, words);
        at += (at > column) + length;
        words += length + strspn(words + length, " \n");
    }
    fputs("\n", to);
}
