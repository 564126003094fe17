/* SPDX-License-Identifier: MIT */
#include "output/xml.h"

#include <libxml/globals.h>
#include <libxml/tree.h>
#include <libxml/xmlsave.h>
#include <string.h>

#include "netlist/plain.h"

#define REPLACEMENT "\xEF\xBF\xBD" /* U+FFFD */

/* Extensible Markup Language 1.0 (fifth edition), production 2: tab, line ends, all from U+0020 on
   but surrogates, U+FFFE and U+FFFF. */
static bool is_carried(const char *at, size_t size) {
    const unsigned char first = (unsigned char)at[0];
    if (size == 1 && first < 0x20) {
        return first == '\t' || first == '\n' || first == '\r';
    }
    const bool last = size == 3 && memcmp(at, "\xEF\xBF", 2) == 0 && (unsigned char)at[2] >= 0xBE;
    return !last && text_valid_utf8(at, size) == size;
}

const char *xml_clean(text_buffer *buffer, const char *words) {
    const char *const end = words + strlen(words);
    buffer->length = 0;
    for (const char *at = words; at < end;) {
        const size_t size = plain_step(at, end);
        const bool carried = is_carried(at, size);
        text_buffer_add_bytes(buffer, carried ? at : REPLACEMENT,
                              carried ? size : sizeof REPLACEMENT - 1);
        at += size;
    }
    return buffer->length > 0 && !buffer->failed ? buffer->bytes : "";
}

/* Whatever libxml2 complains of while a tree is built and written is want of memory. */
#if LIBXML_VERSION >= 21200
static void take_note(void *context, const xmlError *error) {
#else
static void take_note(void *context, xmlErrorPtr error) {
#endif
    (void)error;
    ((xml_document *)context)->failed = true;
}

xml_element *xml_begin(xml_document *d, const baronet_allocator *allocator, const char *root,
                       const char *space) {
    *d = (xml_document){.words.allocator = allocator};
    xmlStructuredErrorFunc heard = xmlStructuredError;
    memcpy(&d->before, &heard, sizeof d->before);
    d->before_context = xmlStructuredErrorContext;
    xmlSetStructuredErrorFunc(d, take_note);
    xmlDoc *const tree = xmlNewDoc(BAD_CAST "1.0");
    xmlNode *const node = tree != NULL ? xmlNewDocNode(tree, NULL, BAD_CAST root, NULL) : NULL;
    if (node != NULL) {
        xmlDocSetRootElement(tree, node);
        xmlSetNs(node, xmlNewNs(node, BAD_CAST space, NULL));
    }
    d->tree = tree;
    d->failed = d->failed || node == NULL || node->ns == NULL;
    return (xml_element *)node;
}

void xml_end(xml_document *d) {
    xmlFreeDoc(d->tree);
    if (d->failed) {
        xmlResetLastError(); /* its message is memory too */
    }
    xmlStructuredErrorFunc heard = NULL;
    memcpy(&heard, &d->before, sizeof heard);
    xmlSetStructuredErrorFunc(d->before_context, heard);
    text_buffer_free(&d->words);
    *d = (xml_document){.failed = d->failed};
}

/* What is to be added next, fit for XML. */
static const xmlChar *fit(xml_document *d, const char *words) {
    const char *const clean = xml_clean(&d->words, words);
    d->failed = d->failed || d->words.failed;
    return BAD_CAST clean;
}

xml_element *xml_add(xml_document *d, xml_element *in, const char *name, const char *words) {
    const xmlChar *const content = words != NULL && words[0] != '\0' ? fit(d, words) : NULL;
    if (in == NULL || d->failed) {
        return NULL;
    }
    xmlNode *const node = xmlNewTextChild((xmlNode *)in, NULL, BAD_CAST name, content);
    d->failed = d->failed || node == NULL;
    return (xml_element *)node;
}

xml_element *xml_add_within(xml_document *d, xml_element *in, const char *name, const char *space) {
    xml_element *const e = xml_add(d, in, name, NULL);
    xmlNs *const ns = e != NULL ? xmlNewNs((xmlNode *)e, BAD_CAST space, NULL) : NULL;
    if (ns != NULL) {
        xmlSetNs((xmlNode *)e, ns);
    }
    d->failed = d->failed || (e != NULL && ns == NULL);
    return e;
}

void xml_append(xml_document *d, xml_element *e, const char *words) {
    const xmlChar *const content = fit(d, words);
    if (e != NULL && !d->failed) {
        xmlNode *const made = xmlNewDocText(d->tree, content);
        d->failed = d->failed || made == NULL;
        xmlAddChild((xmlNode *)e, made); /* takes NULL */
    }
}

void xml_set(xml_document *d, xml_element *e, const char *name, const char *value) {
    const xmlChar *const content = fit(d, value);
    if (e != NULL && !d->failed) {
        const xmlAttr *const made = xmlNewProp((xmlNode *)e, BAD_CAST name, content);
        d->failed = d->failed || made == NULL;
    }
}

static int write_bytes(void *context, const char *bytes, int length) {
    text_buffer *const out = context;
    text_buffer_add_bytes(out, bytes, (size_t)length);
    return out->failed ? -1 : length;
}

static void write_document(xml_document *d, text_buffer *out, int options) {
    xmlSaveCtxt *const save =
        d->failed ? NULL : xmlSaveToIO(write_bytes, NULL, out, "UTF-8", options);
    if (save != NULL) {
        d->failed = xmlSaveDoc(save, d->tree) < 0 || d->failed;
        d->failed = xmlSaveClose(save) < 0 || d->failed;
    }
    d->failed = d->failed || save == NULL;
    out->failed = out->failed || d->failed;
}

void xml_write(xml_document *d, text_buffer *out) {
    write_document(d, out, XML_SAVE_FORMAT);
}

void xml_write_html(xml_document *d, text_buffer *out) {
    text_buffer_add(out, "<!DOCTYPE html>\n"); /* of which libxml2 would conclude: no XHTML */
    write_document(d, out, XML_SAVE_XHTML | XML_SAVE_NO_DECL);
}

void xml_raw(xml_document *d, xml_element *e, const char *const *lines) {
    /* What is a comment to HTML tells XML that no markup follows. */
    text_buffer all = {.allocator = d->words.allocator};
    text_buffer_add(&all, "*/\n");
    for (; *lines != NULL; lines++) {
        text_buffer_add(&all, *lines);
    }
    text_buffer_add(&all, "/*");
    d->failed = d->failed || all.failed;
    xml_append(d, e, "/*");
    if (e != NULL && !d->failed) {
        xmlNode *const made = xmlNewCDataBlock(d->tree, BAD_CAST all.bytes, (int)all.length);
        d->failed = d->failed || made == NULL;
        xmlAddChild((xmlNode *)e, made); /* takes NULL */
    }
    xml_append(d, e, "*/");
    text_buffer_free(&all);
}
