/* pages.h: files that are made from the program's tables of commands, options, statements, figures
   and units: the manual, the list of commands, completions for shells, colours for an editor,
   words for the fuzz targets.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_PAGES_PAGES_H
#define TESTS_PAGES_PAGES_H

#include <stdbool.h>

#include "base/text.h"
#include "cli/commands.h"
#include "netlist/grammar.h"

/* Each prints its file on standard output. */
void manual_program(void); /* docs/baronet.1 */
void manual_netlist(void); /* docs/baronet.5 */
void list_commands(void);  /* docs/commands.md */
void complete_bash(void);
void complete_zsh(void);
void complete_fish(void);
void highlight_vim(void);
void list_limits(void); /* docs/limits.md */
void list_words(void);  /* tests/fuzz/words.dict */

/* The manual's markup. Words are escaped; what stands in backquotes is set bold. */
void roff_words(const char *words);
/* A paragraph of them. */
void roff_paragraph(const char *words);
void roff_section(const char *title);
/* A tagged paragraph: a bold word, what follows it in italics (NULL: nothing), and its meaning. */
void roff_item(const char *name, const char *rest, const char *meaning);
/* Lines to be shown as they are. */
void roff_example(const char *lines);

/* What options say. */
bool option_is_taken(const command *c, option_index index);
/* Its argument is one of some words, parted by `|`. */
bool option_has_choices(const option *o);
bool option_is_file(const option *o);
/* The statement whose names fit, or NULL: `--state` takes those of `state`. */
const char *option_names(const option *o);

#endif
