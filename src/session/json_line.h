/* json_line.h - a JSON object as one line, with numbers that read back as they were rounded. */
#ifndef SESSION_JSON_LINE_H
#define SESSION_JSON_LINE_H

#include <jansson.h>
#include <stddef.h>

/*
 * Takes the reference to root over.
 *
 *   returns  the length; -ENOSPC when size is too small; -EINVAL when it can't be written
 */
int json_line(json_t *root, char *line, size_t size);

/* A measured number, to 4 decimals; null where it is not known. */
json_t *json_line_number(double value);

#endif
