#include "output/view.h"

#include <string.h>

static const char *const format_names[BARONET_FORMATS] = {
    [BARONET_TEXT] = "text", [BARONET_CSV] = "csv", [BARONET_JSON] = "json",
    [BARONET_XML] = "xml",   [BARONET_SVG] = "svg", [BARONET_HTML] = "html",
};

static const char *const kind_names[] = {
    [BLOCK_TITLE] = "title", [BLOCK_LEAD] = "lead",       [BLOCK_PLAIN] = "text",
    [BLOCK_NOTE] = "note",   [BLOCK_CAUTION] = "caution", [BLOCK_TABLE] = "table",
};

double view_value(double value, const baronet_unit *unit) {
    return (value - unit->offset) / unit->factor;
}

const char *view_units(baronet_unit_system units) {
    static const char *const names[] = {
        [BARONET_METRIC] = "metric", [BARONET_IMPERIAL] = "imperial", [BARONET_SI] = "si"};
    return names[units];
}

const char *view_kind(block_kind kind) {
    return (size_t)kind < sizeof kind_names / sizeof kind_names[0] ? kind_names[kind] : NULL;
}

bool view_begins_section(const block *b) {
    return b->kind == BLOCK_HEADING || b->kind == BLOCK_CHAPTER;
}

bool view_keeps(const block *b) {
    return view_kind(b->kind) != NULL && (b->kind != BLOCK_TABLE || !table_is_empty(b->table));
}

baronet_format baronet_format_find(const char *name) {
    int k = 0;
    while (k < BARONET_FORMATS && strcmp(format_names[k], name) != 0) {
        k++;
    }
    return (baronet_format)k;
}

const char *baronet_format_name(baronet_format format) {
    return format_names[format];
}

baronet_status baronet_answer_render(baronet_answer *answer, baronet_format format, bool colour,
                                     const char **bytes, size_t *length) {
    answer->rendered.length = 0;
    switch (format) {
    case BARONET_CSV:
        view_csv(answer, &answer->rendered);
        break;
    case BARONET_JSON:
        view_json(answer, &answer->rendered);
        break;
    case BARONET_XML:
        view_xml(answer, &answer->rendered);
        break;
    case BARONET_SVG:
        view_svg(answer, &answer->rendered);
        break;
    case BARONET_HTML:
        view_html(answer, &answer->rendered);
        break;
    case BARONET_TEXT:
    case BARONET_FORMATS:
        view_text(answer, colour, &answer->rendered);
        break;
    }
    if (answer->rendered.failed || answer->failed) {
        text_buffer_free(&answer->rendered); /* another try begins anew */
        return BARONET_OUT_OF_MEMORY;
    }
    *bytes = answer->rendered.length > 0 ? answer->rendered.bytes : "";
    *length = answer->rendered.length;
    return BARONET_OK;
}
