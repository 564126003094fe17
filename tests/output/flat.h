/* flat.h: what an answer holds as plain lines, taken from its page, from each of its documents, or
   from its table of comma-separated values, so that all of them can be held against one another.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_OUTPUT_FLAT_H
#define TESTS_OUTPUT_FLAT_H

#include "baronet/answer.h"

/* Fails the test unless JSON and XML hold the study's name, the status, every block of the page in
   its order, every figure and every row of the series, CSV the figures or the series, and the XML
   is valid by its schema. */
void flat_check(const char *what, baronet_answer *answer, const char *study);

/* The lines of a document; to be freed. Fail the test where it is none, or not by its schema. */
char *flat_json(const char *what, const char *bytes);
char *flat_xml(const char *what, const char *bytes);

#endif
