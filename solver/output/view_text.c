/* view_text.c: the renderer of text for people, with colour on a terminal.
   SPDX-License-Identifier: MIT */
#include <string.h>

#include "output/chart.h"
#include "output/view.h"

/* How each kind of block looks: colour on a terminal, blank line before, indent, word before. */
typedef struct look {
    const char *colour;
    bool gap;
    int indent;
    const char *mark;
} look;

static const look looks[] = {
    [BLOCK_TITLE] = {"\033[1m", false, 0, ""},
    [BLOCK_HEADING] = {"\033[1m", true, 0, ""},
    [BLOCK_LEAD] = {"", false, 2, ""},
    [BLOCK_PLAIN] = {"", false, 2, ""},
    [BLOCK_NOTE] = {"", false, 2, "note: "},
    [BLOCK_CAUTION] = {"\033[33m", false, 2, "caution: "},
    [BLOCK_TABLE] = {"", true, 0, ""},
    [BLOCK_PICTURE] = {"", false, 0, ""},
    [BLOCK_PLAN] = {"", false, 0, ""},
    [BLOCK_CHAPTER] = {"\033[1m", true, 0, "# "},
    [BLOCK_LISTING] = {"", false, 0, ""}, /* the reader has the file */
};

enum { COLUMN_GAP = 2 };

static size_t columns_of(const char *words) {
    return words != NULL ? text_columns(words, strlen(words)) : 0;
}

/* Blanks at the end of a line help nobody. */
static void end_line(text_buffer *out) {
    while (out->length > 0 && out->bytes[out->length - 1] == ' ') {
        out->bytes[--out->length] = '\0';
    }
    text_buffer_add(out, "\n");
}

/* Words laid into lines from a column on; later lines begin at `hang`. */
static void add_words(text_buffer *out, const char *words, size_t column, size_t hang) {
    bool first = true;
    while (*words != '\0') {
        const size_t length = strcspn(words, " ");
        const size_t width = text_columns(words, length);
        if (!first && column + 1 + width > VIEW_COLUMNS) {
            text_buffer_add(out, "\n");
            text_buffer_fill(out, ' ', hang);
            column = hang;
        } else if (!first) {
            text_buffer_add(out, " ");
            column++;
        }
        text_buffer_add_bytes(out, words, length);
        column += width;
        first = false;
        words += length;
        words += *words == ' ';
    }
    end_line(out);
}

static void add_wrapped(text_buffer *out, const look *how, const char *words) {
    const size_t indent = (size_t)how->indent;
    text_buffer_fill(out, ' ', indent);
    text_buffer_add(out, how->mark);
    add_words(out, words, indent + strlen(how->mark), indent + (how->mark[0] != '\0' ? 2 : 0));
}

static size_t column_width(const table *t, int column) {
    size_t width = columns_of(t->header[column]);
    for (const table_row *row = t->first; row != NULL; row = row->next) {
        const size_t cell = columns_of(row->cell[column]);
        width = cell > width ? cell : width;
    }
    return width;
}

static void add_cell(text_buffer *out, const char *cell, size_t width, bool left) {
    const size_t own = columns_of(cell);
    if (!left) {
        text_buffer_fill(out, ' ', width - own);
    }
    text_buffer_add(out, cell != NULL ? cell : "");
    if (left) {
        text_buffer_fill(out, ' ', width - own);
    }
}

/* The label columns and columns first..last of one row. */
static void add_line(const table *t, const char *const *cells, const size_t *width, int first,
                     int last, text_buffer *out) {
    text_buffer_fill(out, ' ', 2);
    for (int i = 0; i < t->columns; i++) {
        if (i >= t->labels && (i < first || i >= last)) {
            continue;
        }
        text_buffer_fill(out, ' ', i > 0 ? COLUMN_GAP : 0);
        add_cell(out, cells[i], width[i], i < t->labels);
    }
    end_line(out);
}

/* A row whose last cell is a sentence, wrapped within what the other columns leave. */
static void add_prose_line(const table *t, const char *const *cells, const size_t *width,
                           text_buffer *out) {
    size_t column = 2;
    text_buffer_fill(out, ' ', column);
    for (int i = 0; i + 1 < t->columns; i++) {
        add_cell(out, cells[i], width[i], i < t->labels);
        text_buffer_fill(out, ' ', COLUMN_GAP);
        column += width[i] + COLUMN_GAP;
    }
    const char *words = cells[t->columns - 1];
    add_words(out, words != NULL ? words : "", column, column);
}

static void add_prose_table(const table *t, const size_t *width, text_buffer *out) {
    add_prose_line(t, t->header, width, out);
    for (const table_row *row = t->first; row != NULL; row = row->next) {
        add_prose_line(t, row->cell, width, out);
    }
}

/* A table too wide for the page goes on below itself, its labels repeated. */
static void add_table(const table *t, text_buffer *out) {
    size_t *width = memory_resize(out->allocator, NULL, (size_t)t->columns * sizeof *width);
    if (width == NULL) {
        out->failed = true;
        return;
    }
    size_t labels = 2;
    for (int i = 0; i < t->columns; i++) {
        width[i] = column_width(t, i);
        labels += i < t->labels ? width[i] + COLUMN_GAP : 0;
    }
    int first = t->prose ? t->columns : t->labels;
    if (t->prose) {
        add_prose_table(t, width, out);
    }
    while (first < t->columns) {
        size_t total = labels;
        int last = first;
        while (last < t->columns && (last == first || total + width[last] <= VIEW_COLUMNS)) {
            total += width[last++] + COLUMN_GAP;
        }
        text_buffer_add(out, first > t->labels ? "\n" : "");
        add_line(t, t->header, width, first, last, out);
        for (const table_row *row = t->first; row != NULL; row = row->next) {
            add_line(t, row->cell, width, first, last, out);
        }
        first = last;
    }
    memory_resize(out->allocator, width, 0);
}

/* A table without rows, or without anything beside its labels, has nothing to say; pictures are
   drawn where they are asked for, and plans cannot be here. */
static bool is_left_out(const block *b) {
    return b->kind == BLOCK_LISTING || b->kind == BLOCK_PLAN ||
           (b->kind == BLOCK_TABLE && table_is_empty(b->table)) ||
           (b->kind == BLOCK_PICTURE && (!b->picture->asked || b->picture->curves == 0));
}

void view_text(const page *p, bool colour, text_buffer *out) {
    block_kind before = BLOCK_TITLE;
    for (const block *b = p->first; b != NULL; b = b->next) {
        if (is_left_out(b)) {
            continue;
        }
        const look *how = &looks[b->kind];
        const bool apart = b->kind >= BLOCK_NOTE || before >= BLOCK_NOTE;
        const bool heading = b->kind == BLOCK_HEADING || b->kind == BLOCK_CHAPTER;
        const bool gap = (how->gap && before != BLOCK_HEADING) || (b->kind != before && apart);
        if (b != p->first && (gap || heading)) {
            text_buffer_add(out, "\n");
        }
        if (b->kind == BLOCK_TABLE) {
            add_table(b->table, out);
        } else if (b->kind == BLOCK_PICTURE) {
            chart_write(p, b->picture, out);
        } else {
            const bool paint = colour && how->colour[0] != '\0';
            text_buffer_add(out, paint ? how->colour : "");
            add_wrapped(out, how, b->text);
            text_buffer_add(out, paint ? "\033[0m" : "");
        }
        before = b->kind;
    }
}
