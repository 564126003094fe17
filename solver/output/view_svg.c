/* All pictures of an answer as one SVG drawing, one below the other. */
#include "output/chart_svg.h"
#include "output/view.h"

/* Units around and between pictures; pixels that a unit is shown with. */
#define MARGIN 10.0
#define SCALE  1.6

static const char *title_of(const page *p) {
    for (const block *b = p->first; b != NULL; b = b->next) {
        if (b->kind == BLOCK_TITLE) {
            return b->text;
        }
    }
    return "Untitled netlist";
}

static double add_pictures(svg root, const page *p) {
    double y = MARGIN;
    for (const block *b = p->first; b != NULL; b = b->next) {
        double height = 0.0;
        if (b->kind == BLOCK_PICTURE) {
            const svg chart = chart_svg(root, p, b->picture, &height);
            svg_set(chart, "x", MARGIN);
            svg_set(chart, "y", y);
            svg_set(chart, "width", CHART_SVG_WIDTH);
            svg_set(chart, "height", height);
            y += height > 0.0 ? height + MARGIN : 0.0;
        }
    }
    return y;
}

void view_svg(const page *p, text_buffer *out) {
    xml_document d;
    const svg root = {&d, xml_begin(&d, p->allocator, "svg", SVG_SPACE)};
    xml_set(&d, root.element, "class", "b-picture");
    svg_add(root, "title", NULL, title_of(p));
    svg_style(root, true, true);
    const svg paper = svg_add(root, "rect", "b-paper", NULL);
    double height = add_pictures(root, p);
    const double width = CHART_SVG_WIDTH + 2.0 * MARGIN;
    if (height == MARGIN) {
        svg_text(root, NULL, SVG_START, MARGIN, 3.0 * MARGIN, "There is nothing to draw here.");
        height = 5.0 * MARGIN;
    }
    svg_size(root, width, height, SCALE);
    svg_set(paper, "width", width);
    svg_set(paper, "height", height);
    xml_write(&d, out);
    xml_end(&d);
}
