/*
 * ini_file.h - any INI file as a run of (section, key, value), with FILE:LINE in every error: job
 * files, the kit file and procedure files are read by it.
 *
 *   ; a comment, also behind a value when a blank comes before it; # only begins a whole line
 *   [section]
 *   key = value
 *
 * Blanks around sections, keys and values fall away, before a line, too; several within a section's
 * name count as one; a tab is a blank. Nothing is cut silently: an overlong line or name is an
 * error, and so are bytes that are no UTF-8 text.
 */
#ifndef JOB_INI_FILE_H
#define JOB_INI_FILE_H

#include <stddef.h>

enum {
    INI_FILE_WHY = 512,
    INI_FILE_SECTION = 49,  /* bytes of a section's name, the library's limit */
    INI_FILE_MOST = 262144, /* bytes of a whole file */
};

/* line: where it stands. 0 to go on; negative with why filled: what is wrong with this key. */
typedef int ini_file_handler(void *self, int line, const char *section, const char *key,
                             const char *value, char why[INI_FILE_WHY]);

/*
 * Reading ends at the first error.
 *
 *   returns  0; -EINVAL and why = "FILE:LINE: ..."; -EFBIG too large; -ENOMEM; -errno when it can't
 *            be read; why filled in every case
 */
int ini_file_read(const char *path, ini_file_handler *handler, void *self, char why[INI_FILE_WHY]);

/* The same from a text of n bytes; `name` stands for the file in errors. */
int ini_file_read_text(const char *name, const char *text, size_t n, ini_file_handler *handler,
                       void *self, char why[INI_FILE_WHY]);

#endif
