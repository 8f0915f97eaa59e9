/* ini_file.h - any INI file as a run of (section, key, value), with FILE:LINE in every error. */
#ifndef JOB_INI_FILE_H
#define JOB_INI_FILE_H

#include <stddef.h>

enum { INI_FILE_LINE = 1024, INI_FILE_WHY = 512 };

/* 0 to go on; negative with why filled: what is wrong with this key. */
typedef int ini_file_handler(void *self, const char *section, const char *key, const char *value,
                             char why[INI_FILE_WHY]);

/*
 *   returns  0; -EINVAL and why = "FILE:LINE: ..."; -errno when it can't be read, why filled too
 */
int ini_file_read(const char *path, ini_file_handler *handler, void *self, char why[INI_FILE_WHY]);

/* The same from a text; `name` stands for the file in errors. */
int ini_file_read_text(const char *name, const char *text, ini_file_handler *handler, void *self,
                       char why[INI_FILE_WHY]);

#endif
