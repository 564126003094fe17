/* flat.c: see flat.h.
   SPDX-License-Identifier: MIT */
#include "flat.h"

#include <criterion/criterion.h>
#include <jansson.h>
#include <libxml/parser.h>
#include <libxml/relaxng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "output/page.h"

#define SCHEMA "docs/schema/answer-1.rng"

/* Numbers are told with nine significant digits; what is none is `-`. */
static void add_number(text_buffer *out, double value) {
    if (isfinite(value)) {
        text_buffer_format(out, "|%.9g", value + 0.0);
    } else {
        text_buffer_add(out, "|-");
    }
}

static void add(text_buffer *out, const char *words) {
    text_buffer_add(out, "|");
    text_buffer_add(out, words != NULL ? words : "");
}

static void add_line(text_buffer *out, const char *kind, const char *words) {
    text_buffer_format(out, "%s|%s\n", kind, words);
}

static char *finish(const char *what, text_buffer *out) {
    cr_assert_not(out->failed, "%s", what);
    return out->bytes != NULL ? out->bytes : strdup("");
}

/* The page itself, with its values put into the reader's units here anew. */

static double shown(const page *p, baronet_dimension d, double value) {
    const baronet_unit *unit = baronet_unit_shown(p->units, d);
    return (value - unit->offset) / unit->factor;
}

static void add_cells(text_buffer *out, const char *kind, const char *const *cell, int columns) {
    text_buffer_add(out, kind);
    for (int i = 0; i < columns; i++) {
        add(out, cell[i]);
    }
    text_buffer_add(out, "\n");
}

static void add_page_table(text_buffer *out, const table *t) {
    if (t->rows == 0 || (!t->prose && t->columns <= t->labels)) {
        return; /* nothing to say */
    }
    text_buffer_format(out, "table|%d\n", t->labels);
    add_cells(out, "header", t->header, t->columns);
    for (const table_row *row = t->first; row != NULL; row = row->next) {
        add_cells(out, "row", row->cell, t->columns);
    }
}

static void add_page_block(text_buffer *out, const block *b) {
    switch (b->kind) {
    case BLOCK_TITLE:
        add_line(out, "title", b->text);
        break;
    case BLOCK_HEADING:
    case BLOCK_CHAPTER:
        text_buffer_format(out, "section|%s|%s|%s\n", b->text,
                           b->kind == BLOCK_CHAPTER ? "true" : "false",
                           b->state != NULL ? b->state : "");
        break;
    case BLOCK_LEAD:
        add_line(out, "lead", b->text);
        break;
    case BLOCK_PLAIN:
        add_line(out, "text", b->text);
        break;
    case BLOCK_NOTE:
        add_line(out, "note", b->text);
        break;
    case BLOCK_CAUTION:
        add_line(out, "caution", b->text);
        break;
    case BLOCK_TABLE:
        add_page_table(out, b->table);
        break;
    default: /* pictures, whose numbers are in the series, and files */
        break;
    }
}

static void add_page_figures(text_buffer *out, const page *p) {
    for (size_t i = 0; i < p->figures; i++) {
        const baronet_figure *f = &p->figure[i];
        const char *const words[] = {f->study, f->state,    f->load_case,
                                     f->level, f->quantity, f->subject};
        text_buffer_add(out, "figure");
        for (size_t k = 0; k < sizeof words / sizeof words[0]; k++) {
            add(out, words[k]);
        }
        add_number(out, shown(p, f->dimension, f->value));
        add(out, baronet_unit_shown(p->units, f->dimension)->name);
        text_buffer_add(out, "\n");
    }
}

static void add_page_series(text_buffer *out, const page *p) {
    const series *s = p->series;
    text_buffer_add(out, "series");
    for (int i = 0; i < s->labels; i++) {
        add(out, s->label[i]);
    }
    for (int i = 0; i < s->columns; i++) {
        add(out, s->column[i].name);
        add(out, baronet_unit_shown(p->units, s->column[i].dimension)->name);
    }
    text_buffer_add(out, "\n");
    for (const series_row *row = s->first; row != NULL; row = row->next) {
        text_buffer_add(out, "values");
        for (int i = 0; i < s->labels; i++) {
            add(out, row->label[i]);
        }
        for (int i = 0; i < s->columns; i++) {
            add_number(out, shown(p, s->column[i].dimension, row->value[i]));
        }
        text_buffer_add(out, "\n");
    }
}

static char *flat_page(const page *p, const char *study) {
    static const char *const systems[] = {"metric", "imperial", "si"};
    text_buffer out = {0};
    text_buffer_format(&out, "answer|1|%s|%s|%d|%d|%s\n", study, systems[p->units], (int)p->status,
                       baronet_status_exit_code(p->status), baronet_status_text(p->status));
    for (const block *b = p->first; b != NULL; b = b->next) {
        add_page_block(&out, b);
    }
    add_page_figures(&out, p);
    if (p->series != NULL) {
        add_page_series(&out, p);
    }
    return finish("page", &out);
}

/* JSON */

static const char *string_at(const json_t *object, const char *key) {
    const char *words = json_string_value(json_object_get(object, key));
    cr_assert_not_null(words, "no string `%s`", key);
    return words;
}

static void add_json(text_buffer *out, const json_t *value) {
    if (json_is_real(value)) {
        add_number(out, json_real_value(value));
    } else {
        cr_assert(json_is_string(value) || json_is_null(value));
        add(out, json_string_value(value));
    }
}

static void add_json_cells(text_buffer *out, const char *kind, const json_t *cells) {
    text_buffer_add(out, kind);
    for (size_t i = 0; i < json_array_size(cells); i++) {
        add_json(out, json_array_get(cells, i));
    }
    text_buffer_add(out, "\n");
}

static void add_json_content(text_buffer *out, const json_t *content) {
    cr_assert(json_is_array(content));
    for (size_t i = 0; i < json_array_size(content); i++) {
        const json_t *b = json_array_get(content, i);
        const char *kind = string_at(b, "kind");
        if (strcmp(kind, "table") != 0) {
            add_line(out, kind, string_at(b, "text"));
            continue;
        }
        text_buffer_format(out, "table|%d\n",
                           (int)json_integer_value(json_object_get(b, "labels")));
        add_json_cells(out, "header", json_object_get(b, "header"));
        const json_t *rows = json_object_get(b, "rows");
        for (size_t k = 0; k < json_array_size(rows); k++) {
            add_json_cells(out, "row", json_array_get(rows, k));
        }
    }
}

static void add_json_figures(text_buffer *out, const json_t *figures) {
    static const char *const keys[] = {"study",    "state",   "case",  "level",
                                       "quantity", "subject", "value", "unit"};
    cr_assert(json_is_array(figures));
    for (size_t i = 0; i < json_array_size(figures); i++) {
        const json_t *f = json_array_get(figures, i);
        text_buffer_add(out, "figure");
        for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++) {
            const json_t *value = json_object_get(f, keys[k]);
            if (json_is_null(value)) {
                add_number(out, (double)NAN);
            } else {
                add_json(out, value);
            }
        }
        text_buffer_add(out, "\n");
    }
}

static void add_json_series(text_buffer *out, const json_t *s) {
    const json_t *labels = json_object_get(s, "labels"), *columns = json_object_get(s, "columns");
    const json_t *rows = json_object_get(s, "rows");
    cr_assert(json_is_array(labels) && json_is_array(columns) && json_is_array(rows));
    text_buffer_add(out, "series");
    for (size_t i = 0; i < json_array_size(labels); i++) {
        add_json(out, json_array_get(labels, i));
    }
    for (size_t i = 0; i < json_array_size(columns); i++) {
        add(out, string_at(json_array_get(columns, i), "name"));
        add(out, string_at(json_array_get(columns, i), "unit"));
    }
    text_buffer_add(out, "\n");
    for (size_t k = 0; k < json_array_size(rows); k++) {
        const json_t *row = json_array_get(rows, k);
        text_buffer_add(out, "values");
        for (size_t i = 0; i < json_array_size(row); i++) {
            const json_t *value = json_array_get(row, i);
            if (i >= json_array_size(labels) && json_is_null(value)) {
                add_number(out, (double)NAN);
            } else {
                add_json(out, value);
            }
        }
        text_buffer_add(out, "\n");
    }
}

char *flat_json(const char *what, const char *bytes) {
    json_error_t error;
    json_t *root = json_loads(bytes, JSON_REJECT_DUPLICATES, &error);
    cr_assert_not_null(root, "%s: line %d: %s", what, error.line, error.text);
    text_buffer out = {0};
    const json_t *status = json_object_get(root, "status");
    cr_expect_str_eq(string_at(root, "format"), "baronet-answer");
    cr_expect_str_eq(string_at(root, "program"), BARONET_VERSION);
    text_buffer_format(
        &out, "answer|%d|%s|%s|%d|%d|%s\n",
        (int)json_integer_value(json_object_get(root, "version")), string_at(root, "study"),
        string_at(root, "units"), (int)json_integer_value(json_object_get(status, "code")),
        (int)json_integer_value(json_object_get(status, "exit")), string_at(status, "text"));
    add_line(&out, "title", string_at(root, "title"));
    add_json_content(&out, json_object_get(root, "content"));
    const json_t *sections = json_object_get(root, "sections");
    cr_assert(json_is_array(sections));
    for (size_t i = 0; i < json_array_size(sections); i++) {
        const json_t *section = json_array_get(sections, i);
        const char *state = json_string_value(json_object_get(section, "state"));
        cr_assert(json_is_boolean(json_object_get(section, "chapter")));
        text_buffer_format(&out, "section|%s|%s|%s\n", string_at(section, "heading"),
                           json_is_true(json_object_get(section, "chapter")) ? "true" : "false",
                           state != NULL ? state : "");
        add_json_content(&out, json_object_get(section, "content"));
    }
    add_json_figures(&out, json_object_get(root, "figures"));
    if (!json_is_null(json_object_get(root, "series"))) {
        add_json_series(&out, json_object_get(root, "series"));
    }
    json_decref(root);
    return finish(what, &out);
}

/* XML */

static xmlNode *first_of(const xmlNode *element) {
    return xmlFirstElementChild((xmlNode *)element);
}

static bool is_element(const xmlNode *element, const char *name) {
    return element != NULL && strcmp((const char *)element->name, name) == 0;
}

static void add_attribute(text_buffer *out, const xmlNode *element, const char *name) {
    xmlChar *words = xmlGetProp(element, BAD_CAST name);
    cr_assert_not_null(words, "no attribute `%s`", name);
    add(out, (const char *)words);
    xmlFree(words);
}

static void add_content(text_buffer *out, const xmlNode *element) {
    xmlChar *words = xmlNodeGetContent(element);
    add(out, (const char *)words);
    xmlFree(words);
}

static void add_xml_line(text_buffer *out, const xmlNode *element) {
    text_buffer_add(out, (const char *)element->name);
    if (is_element(element, "section")) {
        add_attribute(out, element, "heading");
        add_attribute(out, element, "chapter");
        xmlChar *state = xmlGetProp(element, BAD_CAST "state");
        add(out, (const char *)state);
        xmlFree(state);
    } else if (is_element(element, "table")) {
        add_attribute(out, element, "labels");
    } else if (is_element(element, "header") || is_element(element, "row")) {
        for (const xmlNode *cell = first_of(element); cell != NULL;
             cell = xmlNextElementSibling((xmlNode *)cell)) {
            add_content(out, cell);
        }
    } else {
        add_content(out, element);
    }
    text_buffer_add(out, "\n");
}

static void add_xml_figure(text_buffer *out, const xmlNode *f) {
    static const char *const names[] = {"study", "state", "case", "level", "quantity", "subject"};
    text_buffer_add(out, "figure");
    for (size_t k = 0; k < sizeof names / sizeof names[0]; k++) {
        add_attribute(out, f, names[k]);
    }
    xmlChar *value = xmlGetProp(f, BAD_CAST "value");
    add_number(out, value != NULL ? strtod((const char *)value, NULL) : (double)NAN);
    xmlFree(value);
    add_attribute(out, f, "unit");
    text_buffer_add(out, "\n");
}

static void add_xml_numbers(text_buffer *out, const xmlNode *values) {
    xmlChar *words = xmlNodeGetContent(values);
    char *at = (char *)words;
    for (char *end = NULL; *at != '\0'; at = end + (*end == ' ')) {
        const double value = strtod(at, &end);
        cr_assert_neq(at, end, "`%s` is no number", at);
        add_number(out, value);
    }
    xmlFree(words);
}

static void add_xml_series(text_buffer *out, const xmlNode *s) {
    const xmlNode *element = first_of(s);
    text_buffer_add(out, "series");
    for (; is_element(element, "label-column");
         element = xmlNextElementSibling((xmlNode *)element)) {
        add_attribute(out, element, "name");
    }
    for (; is_element(element, "column"); element = xmlNextElementSibling((xmlNode *)element)) {
        add_attribute(out, element, "name");
        add_attribute(out, element, "unit");
    }
    text_buffer_add(out, "\n");
    for (; is_element(element, "row"); element = xmlNextElementSibling((xmlNode *)element)) {
        text_buffer_add(out, "values");
        const xmlNode *part = first_of(element);
        for (; is_element(part, "label"); part = xmlNextElementSibling((xmlNode *)part)) {
            add_content(out, part);
        }
        add_xml_numbers(out, part);
        text_buffer_add(out, "\n");
    }
}

static void add_xml(text_buffer *out, const xmlNode *element) {
    for (; element != NULL; element = xmlNextElementSibling((xmlNode *)element)) {
        if (is_element(element, "status")) {
            continue;
        }
        if (is_element(element, "figure")) {
            add_xml_figure(out, element);
        } else if (is_element(element, "series")) {
            add_xml_series(out, element);
        } else {
            if (!is_element(element, "figures")) {
                add_xml_line(out, element);
            }
            if (!is_element(element, "header") && !is_element(element, "row")) {
                add_xml(out, first_of(element));
            }
        }
    }
}

static void check_schema(const char *what, xmlDoc *document) {
    static xmlRelaxNG *schema;
    if (schema == NULL) {
        xmlRelaxNGParserCtxt *reader = xmlRelaxNGNewParserCtxt(SCHEMA);
        schema = xmlRelaxNGParse(reader);
        xmlRelaxNGFreeParserCtxt(reader);
        cr_assert_not_null(schema, SCHEMA);
    }
    xmlRelaxNGValidCtxt *check = xmlRelaxNGNewValidCtxt(schema);
    cr_expect_eq(xmlRelaxNGValidateDoc(check, document), 0, "%s: not by the schema", what);
    xmlRelaxNGFreeValidCtxt(check);
}

char *flat_xml(const char *what, const char *bytes) {
    xmlDoc *document = xmlReadMemory(bytes, (int)strlen(bytes), NULL, NULL, XML_PARSE_NONET);
    cr_assert_not_null(document, "%s is no XML", what);
    check_schema(what, document);
    const xmlNode *root = xmlDocGetRootElement(document), *status = first_of(root);
    text_buffer out = {0};
    text_buffer_add(&out, "answer");
    add_attribute(&out, root, "version");
    add_attribute(&out, root, "study");
    add_attribute(&out, root, "units");
    add_attribute(&out, status, "code");
    add_attribute(&out, status, "exit");
    add_content(&out, status);
    text_buffer_add(&out, "\n");
    add_xml(&out, first_of(root));
    xmlFreeDoc(document);
    return finish(what, &out);
}

/* CSV: the figures or the series, whichever it has. */

static char *flat_csv(const char *what, const page *p, const char *bytes) {
    ask_table read = ask_read_csv(what, bytes);
    const bool curves = p->series != NULL;
    const size_t words = curves ? (size_t)p->series->labels : 6;
    text_buffer out = {0};
    for (size_t row = 1; row < read.rows; row++) {
        text_buffer_add(&out, curves ? "values" : "figure");
        for (size_t k = 0; k < read.columns; k++) {
            const char *field = read.field[row * read.columns + k];
            if (k < words || (!curves && k > words)) {
                add(&out, field);
            } else {
                add_number(&out, field[0] != '\0' ? strtod(field, NULL) : (double)NAN);
            }
        }
        text_buffer_add(&out, "\n");
    }
    ask_free_csv(&read);
    return finish(what, &out);
}

static void expect_same(const char *what, const char *format, const char *got,
                        const char *expected) {
    size_t at = 0, line = 0;
    while (got[at] != '\0' && got[at] == expected[at]) {
        line = got[at] == '\n' ? at + 1 : line;
        at++;
    }
    cr_expect(got[at] == expected[at], "%s as %s: `%.*s` where `%.*s` is wanted", what, format,
              (int)strcspn(got + line, "\n"), got + line, (int)strcspn(expected + line, "\n"),
              expected + line);
}

void flat_check(const char *what, baronet_answer *answer, const char *study) {
    char *const expected = flat_page(answer, study);
    char *got = flat_json(what, ask_render(answer, BARONET_JSON, false));
    expect_same(what, "json", got, expected);
    free(got);
    got = flat_xml(what, ask_render(answer, BARONET_XML, false));
    expect_same(what, "xml", got, expected);
    free(got);
    got = flat_csv(what, answer, ask_render(answer, BARONET_CSV, false));
    const char *rows = strstr(expected, answer->series != NULL ? "\nseries" : "\nfigure");
    rows = rows != NULL ? rows + 1 : "";
    rows += answer->series != NULL ? strcspn(rows, "\n") + 1 : 0;
    expect_same(what, "csv", got, rows);
    free(got);
    free(expected);
}
