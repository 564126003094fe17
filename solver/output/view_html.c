/* A page as HTML: one file with its style and its script inside, and nothing loaded from outside.
   All of it is there without the script, which lets the reader choose a valve state and folds long
   chapters away. Classes and data-* attributes are what report.css and report.js look at.
   SPDX-License-Identifier: MIT */
#include <ctype.h>
#include <string.h>

#include "output/drawing_svg.h"
#include "output/picture_html.h"
#include "output/svg.h"
#include "output/view.h"
#include "output/xml.h"

#define HTML_SPACE "http://www.w3.org/1999/xhtml"

/* Lines of solver/output/report.css and report.js, NULL at their end. */
extern const char *const report_css[], *const report_js[];

/* Chapters of more lines than these are folded away at first, but for the first two. */
enum { LONG_CHAPTER = 30, OPEN_CHAPTERS = 2, LONG_TABLE = 8 };

typedef struct html {
    const page *page;
    xml_document document;
    text_buffer words;     /* scratch */
    xml_element *contents; /* the list of chapters; NULL where the page has none */
    xml_element *main;
    xml_element *chapter; /* where blocks of the chapter go */
    xml_element *at;      /* where the next block goes: there, or in a section of it */
    xml_element *run;     /* blocks alike that stand together; NULL where none has begun */
    block_kind run_kind;
    int chapters;
    int section; /* of blocks that belong to a state */
    bool drawn;  /* it has a picture so far */
    bool headed; /* that section has its heading */
} html;

static void set(html *h, xml_element *to, const char *name, const char *value) {
    xml_set(&h->document, to, name, value);
}

static void say(html *h, xml_element *to, const char *words) {
    xml_append(&h->document, to, words);
}

/* An element without words. */
static xml_element *add(html *h, xml_element *parent, const char *tag, const char *class) {
    xml_element *to = xml_add(&h->document, parent, tag, NULL);
    if (class != NULL) {
        set(h, to, "class", class);
    }
    return to;
}

/* The first bytes of some words. */
static void add_bytes(html *h, xml_element *to, const char *start, size_t length) {
    if (length > 0) {
        h->words.length = 0;
        text_buffer_add_bytes(&h->words, start, length);
        say(h, to, h->words.failed ? "" : h->words.bytes);
    }
}

/* Words with what stands in `backquotes` as code. */
static void add_words(html *h, xml_element *to, const char *words) {
    const char *open;
    while ((open = strchr(words, '`')) != NULL && strchr(open + 1, '`') != NULL) {
        const char *close = strchr(open + 1, '`');
        add_bytes(h, to, words, (size_t)(open - words));
        add_bytes(h, add(h, to, "code", NULL), open + 1, (size_t)(close - open - 1));
        words = close + 1;
    }
    add_bytes(h, to, words, strlen(words));
}

/* A sentence whose subject, up to an early colon, stands out. */
static void add_sentence(html *h, xml_element *to, const char *words) {
    enum { SUBJECT_MOST = 44 };
    const char *colon = strstr(words, ": ");
    if (colon != NULL && colon - words <= SUBJECT_MOST) {
        add_bytes(h, add(h, to, "b", NULL), words, (size_t)(colon - words));
        words = colon;
    }
    add_words(h, to, words);
}

/* A number with a minus in place of a hyphen, and a change in per cent after it made small. */
static void add_number(html *h, xml_element *cell, const char *words) {
    if (strcmp(words, "-") == 0) {
        say(h, cell, "\xE2\x80\x93");
        return;
    }
    while (*words != '\0') {
        const bool minus = *words == '-' && isdigit((unsigned char)words[1]);
        if (minus) {
            say(h, cell, "\xE2\x88\x92");
            words++;
        }
        const size_t length = strcspn(words, " ");
        add_bytes(h, cell, words, length);
        words += length;
        const size_t blanks = strspn(words, " ");
        if (blanks > 0 && (words[blanks] == '+' || words[blanks] == '-')) {
            say(h, cell, " ");
            cell = add(h, cell, "small", NULL);
        } else {
            add_bytes(h, cell, words, blanks);
        }
        words += blanks;
    }
}

/* How many blanks a label is set in by. */
static size_t indent_of(const char *label) {
    return strspn(label, " ");
}

static const char *cell_class(const table *t, int column, const char *words) {
    if (words != NULL && strcmp(words, "NOT MET") == 0) {
        return "bad";
    }
    if (t->prose && column + 1 == t->columns) {
        return "words";
    }
    return column >= t->labels ? "n" : column > 0 ? "unit" : NULL;
}

/* Says of which state a column is. */
static void set_state(html *h, const table *t, xml_element *cell, int column) {
    if (t->states && column >= t->labels) {
        set(h, cell, "data-of", t->header[column]);
    }
}

static void add_cell(html *h, const table *t, xml_element *row, const char *words, int column) {
    const bool label = column == 0 && t->labels > 0;
    xml_element *cell = add(h, row, label ? "th" : "td", cell_class(t, column, words));
    if (label) {
        set(h, cell, "scope", "row");
    }
    set_state(h, t, cell, column);
    if (words == NULL) {
        return;
    }
    words += label ? indent_of(words) : 0;
    if (column >= t->labels && !(t->prose && column + 1 == t->columns)) {
        add_number(h, cell, words);
    } else {
        add_words(h, cell, words);
    }
}

static void add_head(html *h, const table *t, xml_element *parent) {
    xml_element *row = add(h, add(h, parent, "thead", NULL), "tr", NULL);
    for (int i = 0; i < t->columns; i++) {
        const bool blank = t->header[i] == NULL || t->header[i][0] == '\0';
        xml_element *cell = add(h, row, blank ? "td" : "th", cell_class(t, i, NULL));
        if (!blank) {
            set(h, cell, "scope", "col");
            set_state(h, t, cell, i);
            add_words(h, cell, t->header[i]);
        }
    }
}

/* A table scrolls in a box of its own where it is wider than the page. A long one after a picture
   of the same is folded away by the script. */
static void add_table(html *h, const table *t) {
    const char *name = t->header[0] != NULL && t->header[0][0] != '\0' ? t->header[0] : "figures";
    xml_element *in = h->at;
    if (h->drawn && h->section != 0 && t->rows >= LONG_TABLE) {
        in = add(h, in, "details", "numbers");
        set(h, in, "open", "open");
        set(h, in, "data-fold", "fold");
        xml_element *title = add(h, in, "summary", NULL);
        say(h, title, "Numbers: ");
        add_words(h, title, name);
    }
    xml_element *box = add(h, in, "div", "box");
    set(h, box, "role", "region");
    set(h, box, "tabindex", "0");
    set(h, box, "aria-label", name);
    xml_element *to = add(h, box, "table", t->prose ? "prose" : NULL);
    add_head(h, t, to);
    xml_element *rows = add(h, to, "tbody", NULL);
    for (const table_row *r = t->first; r != NULL; r = r->next) {
        say(h, rows, "\n");
        const bool below = t->labels > 0 && r->cell[0] != NULL && indent_of(r->cell[0]) > 0;
        xml_element *row = add(h, rows, "tr", below ? "sub" : NULL);
        for (int i = 0; i < t->columns; i++) {
            add_cell(h, t, row, r->cell[i], i);
        }
    }
}

/* Where a comment begins, outside of quoted words; the end where none does. */
static size_t comment_at(const char *line, size_t length) {
    bool quoted = false;
    for (size_t i = 0; i < length; i++) {
        quoted = quoted != (line[i] == '"');
        if (line[i] == '#' && !quoted) {
            return i;
        }
    }
    return length;
}

static void add_listing(html *h, const char *bytes) {
    xml_element *box = add(h, h->at, "div", "box");
    set(h, box, "role", "region");
    set(h, box, "tabindex", "0");
    set(h, box, "aria-label", "Text of the file");
    xml_element *list = add(h, box, "ol", "listing");
    while (*bytes != '\0') {
        size_t length = strcspn(bytes, "\n");
        const size_t end = length + (bytes[length] == '\n');
        length -= length > 0 && bytes[length - 1] == '\r';
        say(h, list, "\n");
        xml_element *line = add(h, add(h, list, "li", NULL), "code", NULL);
        const size_t comment = comment_at(bytes, length);
        const size_t keyword =
            isalpha((unsigned char)bytes[0]) ? strcspn(bytes, " \t\r\n") : (size_t)0;
        const size_t first = keyword < comment ? keyword : comment;
        if (first > 0) {
            add_bytes(h, add(h, line, "b", NULL), bytes, first);
        }
        add_bytes(h, line, bytes + first, comment - first);
        if (comment < length) {
            add_bytes(h, add(h, line, "i", NULL), bytes + comment, length - comment);
        }
        bytes += end;
    }
}

/* A long chapter ends where the next begins. */
static int lines_of(const block *b) {
    int lines = 0;
    for (b = b->next; b != NULL && b->kind != BLOCK_CHAPTER; b = b->next) {
        lines += b->kind == BLOCK_TABLE ? b->table->rows : 1;
        lines += b->kind == BLOCK_LISTING ? LONG_CHAPTER : 0;
    }
    return lines;
}

/* "part-3", with a character before it in links. */
static void set_anchor(html *h, xml_element *to, const char *attribute, const char *before) {
    h->words.length = 0;
    text_buffer_format(&h->words, "%spart-%d", before, h->chapters);
    set(h, to, attribute, h->words.failed ? "" : h->words.bytes);
}

static void begin_chapter(html *h, const block *b) {
    h->chapters++;
    say(h, h->main, "\n");
    xml_element *section = add(h, h->main, "section", "chapter");
    set_anchor(h, section, "id", "");
    xml_element *folded = add(h, section, "details", NULL);
    set(h, folded, "open", "open");
    if (h->chapters > OPEN_CHAPTERS && lines_of(b) > LONG_CHAPTER) {
        set(h, folded, "data-fold", "fold");
    }
    say(h, add(h, add(h, folded, "summary", NULL), "h2", NULL), b->text);
    h->chapter = add(h, folded, "div", "inside");
    h->at = h->chapter;
    h->section = 0;
    xml_element *link = add(h, add(h, h->contents, "li", NULL), "a", NULL);
    set_anchor(h, link, "href", "#");
    say(h, link, b->text);
}

/* Into the section of a state, or out of it. */
static void change_section(html *h, const block *b) {
    if (b->section == h->section) {
        return;
    }
    h->section = b->section;
    h->at = h->chapter;
    h->headed = false;
    h->drawn = false;
    h->run = NULL;
    if (b->section != 0) {
        say(h, h->chapter, "\n");
        h->at = add(h, h->chapter, "section", "state");
        set(h, h->at, "data-state", b->state);
    }
}

static void add_heading(html *h, const block *b) {
    int rank = h->contents != NULL ? 3 : 2;
    rank += b->section != 0 && h->headed;
    h->headed = true;
    const char tag[] = {'h', (char)('0' + rank), '\0'};
    add_words(h, add(h, h->at, tag, NULL), b->text);
}

/* Where the next of some blocks alike goes; a block of another kind has ended the run before. */
static xml_element *run_of(html *h, block_kind kind, const char *tag, const char *class) {
    if (h->run == NULL) {
        h->run = add(h, h->at, tag, class);
        h->run_kind = kind;
    }
    return h->run;
}

static void add_caution(html *h, const char *words) {
    xml_element *line = add(h, run_of(h, BLOCK_CAUTION, "ul", "cautions"), "li", NULL);
    say(h, add(h, line, "b", NULL), "Caution: ");
    add_words(h, line, words);
}

static void add_plan(html *h, const plan *pl) {
    xml_element *within = add(h, h->at, "div", NULL);
    set(h, within, "class", "plan");
    set(h, within, "role", "region");
    set(h, within, "tabindex", "0");
    set(h, within, "aria-label", "Plan of the plumbing");
    drawing_svg((svg){&h->document, within}, pl, NULL, NULL);
}

static void add_block(html *h, const block *b) {
    switch (b->kind) {
    case BLOCK_CHAPTER:
        begin_chapter(h, b);
        break;
    case BLOCK_TITLE:
    case BLOCK_HEADING:
        add_heading(h, b);
        break;
    case BLOCK_LEAD:
        add_sentence(h, add(h, run_of(h, b->kind, "div", "lead"), "p", NULL), b->text);
        break;
    case BLOCK_PLAIN:
        add_words(h, add(h, h->at, "p", NULL), b->text);
        break;
    case BLOCK_NOTE:
        add_words(h, add(h, run_of(h, b->kind, "ul", "notes"), "li", NULL), b->text);
        break;
    case BLOCK_CAUTION:
        add_caution(h, b->text);
        break;
    case BLOCK_TABLE:
        if (!table_is_empty(b->table)) {
            add_table(h, b->table);
        }
        break;
    case BLOCK_LISTING:
        add_listing(h, b->text);
        break;
    case BLOCK_PICTURE:
        h->drawn = true;
        picture_html(&h->document, run_of(h, b->kind, "div", "pictures"), h->page, b->picture);
        break;
    case BLOCK_PLAN:
        add_plan(h, b->plan);
        break;
    }
}

static bool is_run(block_kind kind) {
    return kind == BLOCK_LEAD || kind == BLOCK_NOTE || kind == BLOCK_CAUTION ||
           kind == BLOCK_PICTURE;
}

static void add_choice(html *h, xml_element *parent, const char *value, const char *words,
                       bool chosen) {
    xml_element *label = add(h, parent, "label", NULL);
    xml_element *input = add(h, label, "input", NULL);
    set(h, input, "type", "radio");
    set(h, input, "name", "shown");
    set(h, input, "value", value);
    if (chosen) {
        set(h, input, "checked", "checked");
    }
    say(h, add(h, label, "span", NULL), words);
}

/* Whether an earlier block is about the same state. */
static bool is_known(const page *p, const block *b) {
    const block *earlier = p->first;
    while (earlier != b && (earlier->state == NULL || strcmp(earlier->state, b->state) != 0)) {
        earlier = earlier->next;
    }
    return earlier != b;
}

/* The choice of a state; the script shows it where there are two or more. */
static void add_switch(html *h, const page *p, xml_element *parent) {
    int states = 0;
    for (const block *b = p->first; b != NULL; b = b->next) {
        states += b->state != NULL && !is_known(p, b);
    }
    if (states < 2) {
        return;
    }
    xml_element *form = add(h, parent, "form", "switch");
    set(h, form, "hidden", "hidden");
    xml_element *set = add(h, form, "fieldset", NULL);
    say(h, add(h, set, "legend", NULL), "Valve state shown");
    add_choice(h, set, "", "all", true);
    for (const block *b = p->first; b != NULL; b = b->next) {
        if (b->state != NULL && !is_known(p, b)) {
            add_choice(h, set, b->state, b->state, false);
        }
    }
}

static bool has_chapters(const page *p) {
    const block *b = p->first;
    while (b != NULL && b->kind != BLOCK_CHAPTER) {
        b = b->next;
    }
    return b != NULL;
}

static void add_meta(html *h, xml_element *head, const char *name, const char *content) {
    xml_element *meta = add(h, head, "meta", NULL);
    set(h, meta, "name", name);
    set(h, meta, "content", content);
}

static void add_document_head(html *h, xml_element *root, const char *title) {
    xml_element *head = add(h, root, "head", NULL);
    xml_element *type = add(h, head, "meta", NULL);
    set(h, type, "http-equiv", "Content-Type");
    set(h, type, "content", "text/html; charset=UTF-8");
    add_meta(h, head, "viewport", "width=device-width, initial-scale=1");
    add_meta(h, head, "color-scheme", "light dark");
    add_meta(h, head, "generator", "baronet " BARONET_VERSION);
    say(h, add(h, head, "title", NULL), title);
    xml_raw(&h->document, add(h, head, "style", NULL), report_css);
    svg_style((svg){&h->document, head}, false);
}

/* The title and what it rests on; returns the block after them. */
static const block *add_page_head(html *h, xml_element *page_body) {
    const block *b = h->page->first;
    xml_element *header = add(h, page_body, "header", "head");
    if (b != NULL && b->kind == BLOCK_TITLE) {
        add_words(h, add(h, header, "h1", NULL), b->text);
        b = b->next;
        if (b != NULL && b->kind == BLOCK_PLAIN) {
            add_words(h, add(h, header, "p", "base"), b->text);
            b = b->next;
        }
    }
    return b;
}

static void add_frame(html *h, xml_element *page_body) {
    xml_element *frame = add(h, page_body, "div", "frame");
    if (has_chapters(h->page)) {
        xml_element *nav = add(h, frame, "nav", "contents");
        set(h, nav, "aria-label", "Contents");
        h->contents = add(h, nav, "ol", NULL);
    }
    h->main = add(h, frame, "main", NULL);
    add_switch(h, h->page, h->main);
    h->chapter = h->contents != NULL ? h->main : add(h, h->main, "div", "inside");
    h->at = h->chapter;
}

/* All of the page, below the root. */
static void add_page(html *h, xml_element *root) {
    const block *b = h->page->first;
    const bool titled = b != NULL && b->kind == BLOCK_TITLE;
    set(h, root, "lang", "en");
    add_document_head(h, root, titled ? b->text : "baronet");
    xml_element *page_body = add(h, root, "body", NULL);
    b = add_page_head(h, page_body);
    add_frame(h, page_body);
    for (; b != NULL; b = b->next) {
        if (b->kind != BLOCK_CHAPTER) {
            change_section(h, b);
        }
        if (!is_run(b->kind) || b->kind != h->run_kind) {
            h->run = NULL;
        }
        add_block(h, b);
    }
    say(h, add(h, page_body, "footer", NULL), "baronet " BARONET_VERSION);
    xml_raw(&h->document, add(h, page_body, "script", NULL), report_js);
}

void view_html(const page *p, text_buffer *out) {
    html h = {.page = p, .words = {.allocator = p->allocator}};
    add_page(&h, xml_begin(&h.document, p->allocator, "html", HTML_SPACE));
    if (h.words.failed) {
        out->failed = true;
    } else {
        xml_write_html(&h.document, out);
    }
    text_buffer_free(&h.words);
    xml_end(&h.document);
}
