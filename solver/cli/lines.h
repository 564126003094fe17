/* lines.h: the help's words in lines that fit a terminal.
   SPDX-License-Identifier: MIT */
#ifndef CLI_LINES_H
#define CLI_LINES_H

#include <stddef.h>
#include <stdio.h>

/* Prints words from a column on, parted by blanks or line ends, within 80 columns; later lines
   begin at the same column. Ends the line. */
void lines_print(FILE *to, size_t column, const char *words);

#endif
