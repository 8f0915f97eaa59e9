/* escape.h - bytes for a device, written as text with escapes. Pure. */
#ifndef SOURCE_ESCAPE_H
#define SOURCE_ESCAPE_H

#include <stddef.h>

/*
 * "SNR?\r\n" as the bytes to send.
 *
 *   text        \r \n \t \0 \\ and \xHH (two hexadecimal digits) are escapes
 *   bytes, size room for the result, not terminated: it may hold NULs
 *   returns     how many bytes; -EINVAL another escape; -ENOSPC
 */
int escape_decode(const char *text, char *bytes, size_t size);

#endif
