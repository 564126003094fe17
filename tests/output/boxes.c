/* boxes.c: see boxes.h.
   SPDX-License-Identifier: MIT */
#include "boxes.h"

#include <criterion/criterion.h>
#include <libxml/parser.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output/svg.h"

/* What estimates of width are off by, units. */
#define SLACK 0.6

static double number_of(const xmlNode *element, const char *name) {
    xmlChar *value = xmlGetProp(element, (const xmlChar *)name);
    const double number = value != NULL ? strtod((const char *)value, NULL) : 0.0;
    xmlFree(value);
    return number;
}

static void copy_of(const xmlNode *element, const char *name, char *out, size_t room) {
    xmlChar *value = xmlGetProp(element, (const xmlChar *)name);
    snprintf(out, room, "%s", value != NULL ? (const char *)value : "");
    xmlFree(value);
}

/* The size of font that a class of words has in the style of all drawings. */
static double size_of(const char *kind) {
    return strstr(kind, "b-title") != NULL ? 14.0 : strstr(kind, "b-soft") != NULL ? 12.0 : 13.0;
}

/* The words that are shown: not those of a title within. */
static void own_words(const xmlNode *element, char *out, size_t room) {
    out[0] = '\0';
    for (const xmlNode *child = element->children; child != NULL; child = child->next) {
        if (child->type == XML_TEXT_NODE) {
            const size_t used = strlen(out);
            snprintf(out + used, room - used, "%s", (const char *)child->content);
        }
    }
}

static void add_text(boxes *b, const xmlNode *element, double x, double y) {
    box one = {.left = x + number_of(element, "x")};
    char anchor[16];
    own_words(element, one.words, sizeof one.words);
    copy_of(element, "class", one.kind, sizeof one.kind);
    copy_of(element, "text-anchor", anchor, sizeof anchor);
    const double size = size_of(one.kind);
    const double width = svg_width(text_of(one.words), size);
    one.left -= strcmp(anchor, "middle") == 0 ? width / 2.0 : 0.0;
    one.left -= strcmp(anchor, "end") == 0 ? width : 0.0;
    one.right = one.left + width;
    one.bottom = y + number_of(element, "y") + 0.2 * size;
    one.top = one.bottom - 0.95 * size;
    if (b->count == b->room) {
        b->room = b->room > 0 ? 2 * b->room : 64;
        b->box = realloc(b->box, b->room * sizeof *b->box);
        cr_assert_not_null(b->box);
    }
    b->box[b->count++] = one;
}

static void walk(boxes *b, const xmlNode *element, double x, double y) {
    for (; element != NULL; element = element->next) {
        if (element->type != XML_ELEMENT_NODE) {
            continue;
        }
        const char *name = (const char *)element->name;
        cr_expect_neq(strcmp(name, "script"), 0, "a drawing runs nothing");
        cr_expect_null(xmlHasProp(element, (const xmlChar *)"href"), "a drawing fetches nothing");
        char moved[64];
        double dx = 0.0, dy = 0.0;
        copy_of(element, "transform", moved, sizeof moved);
        if (moved[0] != '\0') {
            cr_assert_eq(sscanf(moved, "translate(%lf %lf)", &dx, &dy), 2, "%s", moved);
        }
        if (strcmp(name, "svg") == 0) {
            dx += number_of(element, "x");
            dy += number_of(element, "y");
        }
        if (strcmp(name, "text") == 0) {
            add_text(b, element, x + dx, y + dy);
        } else {
            walk(b, element->children, x + dx, y + dy);
        }
    }
}

boxes boxes_read(const char *bytes) {
    xmlDoc *document = xmlReadMemory(bytes, (int)strlen(bytes), "x.svg", NULL, XML_PARSE_NONET);
    cr_assert_not_null(document, "a drawing is well-formed XML");
    const xmlNode *root = xmlDocGetRootElement(document);
    cr_assert_str_eq((const char *)root->ns->href, SVG_SPACE);
    boxes b = {0};
    char view[64];
    copy_of(root, "viewBox", view, sizeof view);
    cr_assert_eq(sscanf(view, "0 0 %lf %lf", &b.width, &b.height), 2, "%s", view);
    walk(&b, root->children, 0.0, 0.0);
    xmlFreeDoc(document);
    return b;
}

void boxes_free(boxes *b) {
    free(b->box);
    *b = (boxes){0};
}

void boxes_check(const char *what, const boxes *b) {
    for (size_t i = 0; i < b->count; i++) {
        const box *one = &b->box[i];
        cr_expect(one->left > -SLACK && one->top > -SLACK && one->right < b->width + SLACK &&
                      one->bottom < b->height + SLACK,
                  "%s: `%s` is cut off", what, one->words);
        for (size_t k = 0; k < i; k++) {
            const box *other = &b->box[k];
            const bool apart = one->right < other->left + SLACK ||
                               other->right < one->left + SLACK ||
                               one->bottom < other->top + SLACK || other->bottom < one->top + SLACK;
            cr_expect(apart, "%s: `%s` lies over `%s`", what, one->words, other->words);
        }
    }
}
