/*
 * handover_json.h - the handover as one JSON object; docs/handover.schema.json says what its keys
 * mean. What is not known is null.
 */
#ifndef RECORD_HANDOVER_JSON_H
#define RECORD_HANDOVER_JSON_H

#include <jansson.h>
#include <stdio.h>

#include "record/handover.h"

enum { HANDOVER_JSON_VERSION = 1 };

/* Write it on one line. 0; -ENOMEM; -EIO when the file can't be written. */
int handover_json(const struct handover *handover, FILE *file);

/* Its two halves, as in the text: keys are added to the object. */
void handover_json_antenna(const struct handover *handover, json_t *object);
void handover_json_work(const struct handover *handover, json_t *object);

/* Set a key: a number rounded to decimals, or null; a text, or null when empty; a time of day, or
 * null; a flag. */
void handover_json_number(json_t *object, const char *key, double value, int decimals);
void handover_json_text(json_t *object, const char *key, const char *value);
void handover_json_time(json_t *object, const char *key, double unix_s);
void handover_json_flag(json_t *object, const char *key, bool value);
void handover_json_count(json_t *object, const char *key, unsigned long count);

#endif
