/* Half of the inputs that a fuzzer tries are others with one number in other words, so that most of
   them stay sound.
   SPDX-License-Identifier: MIT */
#include <stdbool.h>
#include <string.h>

#include "input.h"

static bool is_digit(uint8_t c) {
    return (c >= '0' && c <= '9') || c == '.';
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned int seed) {
    static const char *const words[] = {"0",    "1",   "2.3",   "37",   "480",   "1e4", "1e9",
                                        "1e30", "0.1", "0.004", "1e-6", "1e-30", "-1",  "-60"};
    enum { WORDS_COUNT = sizeof words / sizeof words[0] };
    const char *const word = words[seed % WORDS_COUNT];
    const size_t length = strlen(word);
    size_t start = 2 + seed / 64 % (size + 1);
    while (start < size && (!is_digit(data[start]) || data[start - 1] != ' '))
        start++;
    size_t end = start;
    while (end < size && is_digit(data[end]))
        end++;
    if (seed / 32 % 2 == 0 || end == start || size - (end - start) + length > most)
        return LLVMFuzzerMutate(data, size, most);
    memmove(data + start + length, data + end, size - end);
    memcpy(data + start, word, length);
    return size - (end - start) + length;
}
