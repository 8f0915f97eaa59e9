/*
 * record_line.h - a line of a log cut into its time, its kind and its fields. Pure: no I/O, no
 * clock.
 *
 * record_line_cut() knows the shape that record_format() writes, and only that: no blanks, no
 * escapes, nothing nested, numbers of up to 15 digits without an exponent. It makes no mistake
 * about JSON, it gives up: what it takes, a parser of all JSON reads with the same values.
 * record_line_from_json() is for everything else.
 */
#ifndef SESSION_RECORD_LINE_H
#define SESSION_RECORD_LINE_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

enum { RECORD_FIELDS = 12 };

enum record_value_kind {
    VALUE_NONE, /* there is no such field */
    VALUE_NUMBER,
    VALUE_TEXT,
    VALUE_TRUE,
    VALUE_FALSE,
    VALUE_OTHER, /* null, a list, an object */
};

struct record_value {
    enum record_value_kind kind;
    bool whole; /* a number written without point and exponent */
    double number;
    const char *text; /* borrowed from the line or the tree; size bytes of UTF-8 */
    size_t size;
};

struct record_field {
    const char *key;
    size_t key_size;
    struct record_value value;
};

struct record_line {
    struct record_value t;
    const char *kind; /* the other key of the object; kind_size bytes */
    size_t kind_size;
    const json_t *json; /* the kind's object; NULL = the fields below are it */
    struct record_field fields[RECORD_FIELDS];
    size_t field_count, next;  /* where to look first: fields are asked for in their order */
    struct record_value asked; /* out of the JSON */
};

/*
 *   line     n bytes and a NUL behind them; has to outlive *ret
 *   returns  false, *ret spoiled, when the line has another shape
 */
bool record_line_cut(const char *line, size_t n, struct record_line *ret);

/* root is one JSON object, kind one of its keys, with an object as its value. */
void record_line_from_json(const json_t *root, const char *kind, struct record_line *ret);

/* True when size bytes of text, no NUL among them, are the word. */
static inline bool record_line_spells(const char *text, size_t size, const char *word)
{
    /* the word's end is no byte of the text; words are too short to call for strncmp() */
    for (size_t i = 0; i < size; i++) {
        if (word[i] != text[i]) {
            return false;
        }
    }
    return word[size] == '\0';
}

/* A field of the kind's object until the next call; VALUE_NONE when there is none. */
const struct record_value *record_line_get(struct record_line *line, const char *key);

#endif
