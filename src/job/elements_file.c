#include "job/elements_file.h"

#include <errno.h>
#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/json_fault.h"
#include "job/text_file.h"
#include "sky/elements_omm.h"

enum { FILE_MOST = 32 << 20 };

/* One value as KVN would have it. Returns -EINVAL for what no key's value can be. */
static int take_value(struct elements_omm *omm, const char *key, const json_t *value,
                      char why[ELEMENTS_WHY])
{
    char number[40];

    if (json_is_null(value)) {
        return 0; /* not known, as if it were not there */
    }
    if (json_is_string(value)) {
        return elements_omm_set(omm, key, json_string_value(value), why);
    }
    if (json_is_integer(value)) {
        snprintf(number, sizeof number, "%" JSON_INTEGER_FORMAT, json_integer_value(value));
        return elements_omm_set(omm, key, number, why);
    }
    if (json_is_real(value)) {
        snprintf(number, sizeof number, "%.17g", json_real_value(value));
        return elements_omm_set(omm, key, number, why);
    }
    return elements_omm_set(omm, key, _("(neither text nor number)"), why);
}

static int take_object(json_t *object, struct elements_choice *choice, char why[ELEMENTS_WHY])
{
    struct elements_omm omm;
    struct elements elements;
    const char *key;
    json_t *value;
    int r = 0;

    elements_omm_start(&omm);
    json_object_foreach(object, key, value)
    {
        r = take_value(&omm, key, value, why);
        if (r < 0) {
            return r;
        }
    }
    r = elements_omm_finish(&omm, &elements, why);
    if (r == 0) {
        elements_choose(choice, &elements);
    }
    return r;
}

/* "set 3 of 7: EPOCH is missing" */
static int take_array(json_t *array, struct elements_choice *choice, char why[ELEMENTS_WHY])
{
    char what[ELEMENTS_WHY];

    for (size_t i = 0; i < json_array_size(array); i++) {
        json_t *object = json_array_get(array, i);
        int r = -EINVAL;

        if (json_is_object(object)) {
            r = take_object(object, choice, what);
        } else {
            text_copy(what, sizeof what, _("not an object of keys and values"));
        }
        if (r < 0) {
            why[0] = '\0';
            text_append(why, ELEMENTS_WHY, _("set %zu of %zu: %s"), i + 1, json_array_size(array),
                        what);
            return r;
        }
    }
    return 0;
}

static int read_json(const char *text, size_t n, const char *wanted, struct elements *ret,
                     char why[ELEMENTS_WHY])
{
    struct elements_choice choice = {.wanted = wanted};
    json_error_t error;
    json_t *root = json_loadb(text, n, JSON_REJECT_DUPLICATES, &error);
    char fault[JSON_FAULT_SIZE];
    int r;

    if (!root) {
        why[0] = '\0';
        text_append(why, ELEMENTS_WHY, _("line %d: not JSON: %s"), error.line,
                    json_fault_say(&error, fault));
        return -EINVAL;
    }
    if (json_is_array(root)) {
        r = take_array(root, &choice, why);
    } else {
        r = take_object(root, &choice, why);
    }
    json_decref(root);
    return r < 0 ? r : elements_chosen(&choice, ret, why);
}

int elements_file_read_text(const char *text, size_t n, const char *wanted, struct elements *ret,
                            char why[ELEMENTS_WHY])
{
    char first = text[strspn(text, " \t\r\n")];

    if (first == '{' || first == '[') {
        return read_json(text, n, wanted, ret, why);
    }
    if (strlen(text) != n) {
        snprintf(why, ELEMENTS_WHY, _("a NUL in it: this is no text"));
        return -EINVAL;
    }
    return elements_parse(text, wanted, ret, why);
}

int elements_file_read(const char *path, const char *wanted, struct elements *ret,
                       char why[JOB_ERROR_SIZE])
{
    char what[ELEMENTS_WHY], *text;
    size_t n;
    int r = text_file_read(path, FILE_MOST, _("more than 32 MiB, this is no list of elements"),
                           &text, &n, why, JOB_ERROR_SIZE);

    if (r < 0) {
        return r;
    }
    r = elements_file_read_text(text, n, wanted, ret, what);
    free(text);
    if (r < 0) {
        why[0] = '\0';
        text_append(why, JOB_ERROR_SIZE, "%s: %s", path, what);
    }
    return r;
}
