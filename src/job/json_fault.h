/* json_fault.h - why a text is no JSON, in the language that is spoken: the library knows only one. */
#ifndef JOB_JSON_FAULT_H
#define JOB_JSON_FAULT_H

#include <jansson.h>

enum { JSON_FAULT_SIZE = 120 };

/* "it ends too early (column 17)"; columns of the line count from 1. Returns ret_phrase. */
const char *json_fault_say(const json_error_t *error, char ret_phrase[JSON_FAULT_SIZE]);

#endif
