/* xml.h: a document of XML being built, through libxml2. It keeps the first failure of memory and
   ignores all that follows, so that it is checked once, at the end. libxml2 takes its memory from
   malloc, whatever allocator the library was given.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_XML_H
#define OUTPUT_XML_H

#include "base/text.h"

typedef struct xml_element xml_element;

typedef struct xml_document {
    void *tree;
    void *before, *before_context; /* who heard of libxml2's errors in this thread */
    bool failed;
    text_buffer words; /* of what is being added */
} xml_document;

/* A document with its root, in a namespace. End it in any case; in between nothing else of this
   thread hears of libxml2's errors. NULL elements are ignored. */
xml_element *xml_begin(xml_document *d, const baronet_allocator *allocator, const char *root,
                       const char *space);
void xml_end(xml_document *d);

/* An element at the end of another, with text or without (NULL). Bytes that XML cannot carry
   become U+FFFD. */
xml_element *xml_add(xml_document *d, xml_element *in, const char *name, const char *words);

/* The same without text, in a namespace of its own that holds for what is below it too. */
xml_element *xml_add_within(xml_document *d, xml_element *in, const char *name, const char *space);
/* Text after all that an element holds so far. */
void xml_append(xml_document *d, xml_element *e, const char *words);

void xml_set(xml_document *d, xml_element *e, const char *name, const char *value);

/* Writes the document, indented, as UTF-8. */
void xml_write(xml_document *d, text_buffer *out);

/* Text that is no markup, of a `style` or `script` of HTML: lines, ended by NULL, that hold no
   `]]>`, no end tag and no comment left open. */
void xml_raw(xml_document *d, xml_element *e, const char *const *lines);

/* Writes a document whose root is an `html` of XHTML so that it reads as HTML and as XML alike. */
void xml_write_html(xml_document *d, text_buffer *out);

/* Words with U+FFFD in place of bytes that are not UTF-8 and of characters that XML has not; as
   long as the buffer is left alone. "" where memory ran out. */
const char *xml_clean(text_buffer *buffer, const char *words);

#endif
