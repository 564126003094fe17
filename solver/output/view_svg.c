/* All pictures of an answer as one SVG drawing, one below the other. */
#include "output/chart_svg.h"
#include "output/drawing_svg.h"
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

/* Puts a picture of some size below those before; returns where the next one goes. */
static double put(svg drawn, double y, double width, double height, double *widest) {
    if (drawn.element == NULL) {
        return y;
    }
    svg_set(drawn, "x", MARGIN);
    svg_set(drawn, "y", y);
    svg_set(drawn, "width", width);
    svg_set(drawn, "height", height);
    *widest = width > *widest ? width : *widest;
    return y + height + MARGIN;
}

static double add_pictures(svg root, const page *p, double *widest) {
    double y = MARGIN;
    for (const block *b = p->first; b != NULL; b = b->next) {
        double width = CHART_SVG_WIDTH, height = 0.0;
        if (b->kind == BLOCK_PICTURE) {
            const svg chart = chart_svg(root, p, b->picture, &height); /* which tells the height */
            y = put(chart, y, width, height, widest);
        } else if (b->kind == BLOCK_PLAN) {
            const svg whole = drawing_svg(root, b->plan, &width, &height);
            y = put(whole, y, width, height, widest);
        }
    }
    return y;
}

void view_svg(const page *p, text_buffer *out) {
    xml_document d;
    const svg root = {&d, xml_begin(&d, p->allocator, "svg", SVG_SPACE)};
    xml_set(&d, root.element, "class", "b-picture");
    svg_add(root, "title", NULL, title_of(p));
    svg_style(root, true);
    const svg paper = svg_add(root, "rect", "b-paper", NULL);
    double widest = 0.0;
    double height = add_pictures(root, p, &widest);
    if (widest == 0.0) {
        widest = CHART_SVG_WIDTH;
        svg_text(root, NULL, SVG_START, MARGIN, 3.0 * MARGIN, "There is nothing to draw here.");
        height = 5.0 * MARGIN;
    }
    const double width = widest + 2.0 * MARGIN;
    /* Plans are larger than charts as they are. */
    svg_size(root, width, height, widest > CHART_SVG_WIDTH ? 1.0 : SCALE);
    svg_set(paper, "width", width);
    svg_set(paper, "height", height);
    xml_write(&d, out);
    xml_end(&d);
}
