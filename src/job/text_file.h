/* text_file.h - a whole file in memory: nothing can hide in an endless line or behind a NUL. */
#ifndef JOB_TEXT_FILE_H
#define JOB_TEXT_FILE_H

#include <stddef.h>

/*
 * Read a file, ended by a NUL beyond its last byte.
 *
 *   most       bytes, at most
 *   too_large  the phrase that refuses more than that
 *   ret_text   to be freed by the caller
 *   why        of `size` bytes; on failure "FILE: can't be read: ..."
 *   returns    0; -EFBIG too large; -ENOMEM; -errno
 */
int text_file_read(const char *path, size_t most, const char *too_large, char **ret_text,
                   size_t *ret_n, char *why, size_t size);

#endif
