/* page.h: a study's answer as a tree of sections for people, with its figures and series for
   machines. Values are put into the reader's units here, once, so that all formats for people show
   the same strings. A page keeps the first failure of its allocator and ignores all that follows,
   so that it is checked once, at the end.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_PAGE_H
#define OUTPUT_PAGE_H

#include "base/text.h"
#include "baronet/answer.h"
#include "studies/figures.h"

typedef struct baronet_answer page;

typedef enum block_kind {
    BLOCK_TITLE,   /* what the page is about */
    BLOCK_HEADING, /* starts a section */
    BLOCK_LEAD,    /* the answer in a sentence */
    BLOCK_PLAIN,
    BLOCK_NOTE,    /* what a figure rests on */
    BLOCK_CAUTION, /* what may hurt or mislead */
    BLOCK_TABLE,
    BLOCK_PICTURE, /* curves; see picture.h */
    BLOCK_PLAN,    /* a drawing of the plumbing; see plan.h */
    BLOCK_CHAPTER, /* starts a part of a report, above all headings */
    BLOCK_LISTING  /* the text of a file, as it is, line by line */
} block_kind;

typedef struct table table;
typedef struct picture picture;
typedef struct plan plan;

typedef struct block {
    block_kind kind;
    const char *text;       /* not of tables, pictures and plans */
    const table *table;     /* of tables */
    const picture *picture; /* of pictures */
    const plan *plan;       /* of plans */
    int section;       /* blocks of one number, not 0, belong together and to one valve state */
    const char *state; /* that state; NULL where `section` is 0 */
    struct block *next;
} block;

/* A table of strings: the first column holds labels, the others numbers, right-aligned. */
struct table {
    page *owner;
    int columns;
    const char **header; /* columns; NULL entries are blank */
    int labels;          /* leading columns that hold words, left-aligned */
    bool prose;          /* the last column holds sentences, which may be wrapped */
    bool states; /* the columns after the labels are one a valve state, named in the header */
    int rows;
    struct table_row *first, *last;
};

typedef struct table_row {
    const char **cell; /* columns; NULL entries are blank */
    struct table_row *next;
} table_row;

/* A series for machines: `labels` text columns, then number columns in SI or the units asked for.
 */
typedef struct series_column {
    const char *name;
    baronet_dimension dimension;
} series_column;

typedef struct series_row {
    const char **label;  /* labels */
    const double *value; /* columns; NAN is blank */
    struct series_row *next;
} series_row;

typedef struct series {
    page *owner;
    int labels, columns;
    const char **label;          /* names of the label columns */
    const series_column *column; /* columns */
    series_row *first, *last;
    int whole;     /* columns, from the first, of which no value may be blank */
    bool headless; /* the rows go on from those of another share, which has the header */
} series;

struct baronet_answer {
    arena *arena;
    const baronet_allocator *allocator;
    bool failed;
    baronet_unit_system units;
    baronet_status status;
    bool refused;      /* a number was none */
    const char *study; /* its command's name */
    block *first, *last;
    int sections;      /* begun so far */
    const char *state; /* what is added now belongs to; NULL: to all of them */
    page *parts;       /* pages taken over, destroyed with this one */
    page *next_part;
    int first_section; /* of a part: sections of the whole before its own */
    baronet_figure *figure;
    size_t figures, figure_capacity;
    const char *netlist; /* text of a changed netlist; NULL for none */
    series *series;      /* NULL where the study gives figures only */
    text_buffer rendered;
};

page *page_create(const baronet_allocator *allocator, baronet_unit_system units);

/* Says which study's page it is, by its command's name, which is borrowed for good. The page may be
   NULL. */
void page_set_study(page *p, const char *study);

/* Remembers the first status that is not OK. */
void page_set_status(page *p, baronet_status status);

/* Zeroed memory of the page's arena; NULL where it has run out, which the page remembers. */
void *page_take(page *p, size_t count, size_t size);

/* Strings of the page's arena; "" where memory ran out. */
const char *page_copy(page *p, const char *terminated);
/* What a buffer of the page's allocator holds; the buffer is emptied. */
const char *page_keep(page *p, text_buffer *buffer);
const char *page_format(page *p, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The name of a figure or quantity as words: `wheel_rate` is "wheel rate". */
const char *page_spoken(page *p, const char *name);

void page_add(page *p, block_kind kind, const char *words);
void page_addf(page *p, block_kind kind, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* What is added from here on is about one valve state (NULL: about all), and begins a section. */
void page_set_state(page *p, const char *state);

/* Takes over a page with its figures: it lives as long as this one from here on, and its blocks can
   be repeated here. */
void page_adopt(page *p, page *part);
/* Adds a block like that one of a part. */
void page_repeat(page *p, const page *part, const block *b);

/* Puts a picture at the end; the page's own (page_picture makes it). */
void page_add_picture(page *p, const picture *c);
/* The same with a plan (page_plan makes it). */
void page_add_plan(page *p, const plan *pl);

/* A value (SI) as a number in the reader's unit. */
double page_shown(const page *p, baronet_dimension dimension, double value);
/* Writes a quantity with its unit, as page_quantity makes it. */
void page_write(const page *p, baronet_dimension dimension, double value, text_buffer *out);

/* A number in the reader's unit of its dimension, without and with the unit's name. Three
   significant digits, or as many decimals as given where that is not negative. "-" for what is not
   finite. */
const char *page_number(page *p, baronet_dimension dimension, double value, int decimals);
const char *page_quantity(page *p, baronet_dimension dimension, double value);
/* The same with a sign always. */
const char *page_change(page *p, baronet_dimension dimension, double value);
/* An angle in degrees, whatever the units of the page. */
const char *page_degrees(page *p, double angle, int decimals);
const char *page_unit(const page *p, baronet_dimension dimension);

/* What a residual's size is at most: one significant digit, rounded up, and never less than 1e-10,
   below which it is the machine's rounding and differs from one processor to the next. */
const char *page_slight(page *p, double number);

/* Digits after the point that show the largest of some values (SI) with three significant digits.
 */
int page_decimals(const page *p, baronet_dimension dimension, int count, const double *values);

/* Digits after the point that suit columns of what happens in time, whatever the size of the single
   value: a tenth of a millimetre, a hundredth of a bar or degree, or what is near that in the
   reader's unit. Less would be the integrator's, and differ from one machine to the next. */
int page_fine(const page *p, baronet_dimension dimension);
/* A change of such a quantity, with its sign and unit. */
const char *page_fine_change(page *p, baronet_dimension dimension, double value);

/* A table whose header's strings are borrowed for the call. */
table *page_table(page *p, int columns, int labels, const char *const *header);
void table_add(table *t, const char *const *cells);
/* Makes the last column one of sentences. */
void table_set_prose(table *t);
/* Says that the columns after the labels are one a valve state. */
void table_set_states(table *t);
/* True of one without rows, or without anything beside its labels, which has nothing to say. */
bool table_is_empty(const table *t);
/* A row of a label, a unit and values of one dimension with equal decimals; NAN is shown as "-". */
void table_values(table *t, const char *label, baronet_dimension dimension, int count,
                  const double *values);

/* Copies a study's figures in. */
void page_figures(page *p, const char *study, const char *state, const char *with, const model *m,
                  const figure_list *list);

/* The answer is refused, for a number of that name is none: status and page say so. */
void page_refuse(page *p, const char *name);

series *page_series(page *p, int labels, const char *const *label, int columns,
                    const series_column *column);
/* From now on values of the first `columns` have to be numbers. An infinite one never may be. */
void series_set_whole(series *s, int columns);
void series_add(series *s, const char *const *label, const double *value);

#endif
