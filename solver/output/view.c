#include "output/view.h"

#include <string.h>

static const char *const format_names[BARONET_FORMATS] = {
    [BARONET_TEXT] = "text",
    [BARONET_CSV] = "csv",
};

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
    if (format == BARONET_CSV) {
        view_csv(answer, &answer->rendered);
    } else {
        view_text(answer, colour, &answer->rendered);
    }
    if (answer->rendered.failed || answer->failed) {
        text_buffer_free(&answer->rendered); /* another try begins anew */
        return BARONET_OUT_OF_MEMORY;
    }
    *bytes = answer->rendered.length > 0 ? answer->rendered.bytes : "";
    *length = answer->rendered.length;
    return BARONET_OK;
}
