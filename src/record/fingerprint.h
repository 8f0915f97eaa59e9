/* fingerprint.h - a file's SHA-256 (FIPS 180-4), so that a log and its record belong together. */
#ifndef RECORD_FINGERPRINT_H
#define RECORD_FINGERPRINT_H

#include <stdint.h>

enum { FINGERPRINT_SIZE = 65 };

/*
 * Read a file to its end.
 *
 *   ret_hex    64 hexadecimal digits, lower case
 *   ret_bytes  how many were read
 *   returns    0; -EINVAL it is no plain file; -errno when it can't be read
 */
int fingerprint_file(const char *path, char ret_hex[FINGERPRINT_SIZE], uint64_t *ret_bytes);

#endif
