/*
 * csv_row.h - one row of a table with commas (RFC 4180): its fields, without copying them. Pure.
 *
 *   46.60000,10.10000,"Hut, upper",2200
 */
#ifndef BASE_CSV_ROW_H
#define BASE_CSV_ROW_H

#include <stdbool.h>
#include <stddef.h>

/* A field as it stands in the row, the quotes around it included. */
struct csv_row_field {
    const char *text; /* borrowed from the row; not terminated */
    size_t length;
};

/*
 * Part a row.
 *
 *   text, n    the row without its line end
 *   ret, room  the first fields
 *   returns    how many fields there are, also beyond the room; 0 when a quote is not closed or
 *              something stands between a closing quote and the comma
 */
size_t csv_row_split(const char *text, size_t n, struct csv_row_field *ret, size_t room);

/*
 * What a field says: blanks and quotes around it gone, doubled quotes single.
 *
 *   returns  0; -ENAMETOOLONG it does not fit; -EINVAL there is a NUL in it; ret_text is "" then
 */
int csv_row_copy(const struct csv_row_field *field, char *ret_text, size_t size);

#endif
